#include "workflow/package_readme.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "workflow/package_files.hpp"
#include "workflow/version.hpp"

namespace strandbook {
namespace {

// Words of the package, not of a screen: a reviewer reads them in a terminal or an editor.
constexpr const char* contents =
    R"(WHAT IS IN IT
  index.html               every strand, to be searched and looked at in a browser, without a network
  report.pdf               the report
  certificates.pdf         a page for each link, to sign
  labels.pdf               sheets of labels with names and codes
  tests.xlsx               every result; limit, margin and outcome are live formulas
  tests.csv                the same as text
  assessment.json          the same for programs, as assessment.schema.json describes it
  preflight.csv, .json     what the owner demands that is refused, missing or seen to by hand
  findings.csv             what the readings as a whole show, and who answered it
  facts.csv                everything that was ever recorded, also what was corrected or repeated
  statements.csv           what people stated for the whole job or noted at a strand
  originals/, originals.csv   every file that the job goes by, byte for byte
  rules/                   the numbers that limits, demands, uncertainty and findings rest on
  book.carry               the book itself: facts in chains that each device signed, withdrawn files too
  manifest.sha256          SHA-256 of all these files
  manifest.cms             signature over the manifest (CMS, RFC 5652)
  signer.pem               certificate of the signer
)";

constexpr const char* how_to_check =
    R"(HOW TO CHECK IT WITHOUT STRANDBOOK
  In this folder:

    sha256sum --check --quiet manifest.sha256
    openssl cms -verify -binary -cades -purpose any -partial_chain -no_check_time -inform DER \
      -in manifest.cms -content manifest.sha256 -CAfile signer.pem -out /dev/null

  The first prints nothing where no file was changed. The second prints "CAdES Verification successful" where
  the manifest is the one that was signed. Neither tells who the signer is: compare the fingerprint below with
  one that you were told by another way.

    openssl x509 -in signer.pem -noout -fingerprint -sha256

HOW TO CHECK IT WITH STRANDBOOK
    strandbook verify .            all of the above, the chains of the book, and every outcome judged anew
    strandbook assess --book .     judged anew; with --rule or --guard under another rule
)";

}  // namespace

std::string package_readme(const HandoverGround& ground, const std::vector<PreflightItem>& items,
                           const ReportOptions& report, const std::string& signer,
                           const std::string& fingerprint) {
  const JudgedJob& job = ground.work.job;
  const Summary& sum = job.assessment.summary;
  const auto objecting = [&items](Objection objection) {
    return std::count_if(items.begin(), items.end(),
                         [objection](const PreflightItem& item) { return item.objection == objection; });
  };
  std::string text =
      fmt::format("{}\n{}\n\n", job.name, std::string(std::min<std::size_t>(job.name.size(), 100), '='));
  for (const auto& [name, value] : {std::pair{"Title", &report.title},
                                    {"Site", &report.site},
                                    {"Owner", &report.client},
                                    {"Contractor", &report.contractor}})
    if (!value->empty()) text += fmt::format("{:11} {}\n", name, *value);
  text += fmt::format("{:11} {}\n{:11} strandbook {}\n\n", "Made", iso_text(report.created), "By",
                      program_version);
  text += fmt::format("{} strands, {} tests: ", job.assessment.schedule.size(), sum.planned);
  bool first = true;
  for (const Outcome outcome : {Outcome::pass, Outcome::conditional_pass, Outcome::conditional_fail,
                                Outcome::fail, Outcome::not_tested, Outcome::invalid})
    if (const std::size_t count = sum.count(outcome); count > 0) {
      text += fmt::format("{}{} {}", first ? "" : ", ", count, text_of(outcome));
      first = false;
    }
  text += fmt::format(
      ".\nHeld against what the owner demands: {} refused, {} missing, {} for a person to see to "
      "(preflight.csv).\n\n",
      objecting(Objection::refused), objecting(Objection::missing), objecting(Objection::by_hand));
  text += contents;
  text += '\n';
  text += how_to_check;
  text += fmt::format("\nSIGNER\n  {}\n  SHA-256 of the certificate\n  {}\n", signer, fingerprint);
  return text;
}

}  // namespace strandbook
