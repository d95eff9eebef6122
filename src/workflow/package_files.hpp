#pragma once
// Names of a package's files, and what of the program itself goes into it.

#include <array>
#include <string>
#include <vector>

#include "workflow/check_handover.hpp"

namespace strandbook {

inline constexpr const char* package_readme_file = "README.txt";
inline constexpr const char* package_manifest = "manifest.sha256";
inline constexpr const char* package_signature = "manifest.cms";  ///< over the manifest; not in it
inline constexpr const char* package_signer = "signer.pem";
inline constexpr const char* package_book = "book.carry";
inline constexpr const char* package_assessment = "assessment.json";
/// What every package holds besides the manifest and its signature.
inline constexpr std::array package_parts{package_readme_file,
                                          package_signer,
                                          package_book,
                                          package_assessment,
                                          "index.html",
                                          "report.pdf",
                                          "certificates.pdf",
                                          "labels.pdf",
                                          "tests.xlsx",
                                          "tests.csv",
                                          "assessment.schema.json",
                                          "preflight.csv",
                                          "preflight.json",
                                          "findings.csv",
                                          "facts.csv",
                                          "statements.csv",
                                          "originals.csv"};

/// A name that every file system and every shell takes: letters, digits, dot, dash, underscore.
std::string safe_name(const std::string& name);

struct RuleText {
  std::string name;  ///< id of the rule or the profile, or what the practice is about
  std::string text;  ///< its whole file
};
/// What limits, uncertainties and findings rest on, whole: the rule sets that gave limits (shipped ones, the
/// job's own), the owner's profile, and the numbers of practice.
Result<std::vector<RuleText>> rule_texts_of(const HandoverGround& ground);

/// docs/assessment.schema.json, which is part of the program.
const char* assessment_schema();

}  // namespace strandbook
