#pragma once
// What people and files add to a book besides the rows of schedule, references and readings.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/link/link.hpp"
#include "domain/units/units.hpp"
#include "domain/verdict/outcome.hpp"
#include "edge/book/fact.hpp"

namespace strandbook {

/// A row that was kept but could not be used, and why.
struct UnreadRow {
  Problem why;
};

/// Name of the job and whatever else it settles, as key and text. Later records add to earlier ones, key by
/// key; an empty name keeps the name there was.
struct JobRecord {
  std::string name;
  std::map<std::string, std::string> settings;
  bool operator==(const JobRecord&) const = default;
};

enum class ImportPurpose {
  schedule,
  references,
  readings,
  calibrations,
  continuity,
  traces,
  document  ///< enclosed as it is: it gives no rows
};
inline constexpr std::size_t import_purposes = 7;
std::string_view text_of(ImportPurpose purpose);  // "schedule", ..., "continuity", "document"
std::optional<ImportPurpose> parse_import_purpose(std::string_view text);

/// A file that was read into the book.
struct ImportRecord {
  std::string file;  ///< its name as the person knows it
  Sha256 hash;       ///< of its bytes, which the book keeps
  ImportPurpose purpose = ImportPurpose::readings;
  std::string understood;         ///< the choices it was read with, in one stable text
  std::vector<ImportNote> notes;  ///< how it was understood, in words
};

/// Under which rule the job is judged from now on. Members that are empty leave the matter to schedule and
/// rule.
struct RuleChoice {
  std::string rule;           ///< rule id, "own:NAME" for a rule of the job
  std::string own_rule_text;  ///< the whole own rule file; empty for a rule of the rulebook
  std::string profile_text;   ///< the whole owner's profile; empty where there is none
  std::optional<GuardBand> guard;
  std::optional<Decibels> fixed_limit;
  std::vector<Nanometres> wavelengths;
  std::optional<DirectionDemand> directions;
  std::optional<ReferenceMethod> method;
  std::optional<CordGrade> cords;
  std::optional<Configuration> configuration;
  std::string person;
  std::string reason;
  bool operator==(const RuleChoice&) const = default;
};

/// A person's words: a note, an acknowledgement or a sign-off.
struct Remark {
  FactKind kind = FactKind::note;
  std::string text;
  std::string person;
  Subject about_strand;            ///< may be empty
  std::optional<Uuid> about_fact;  ///< may be empty
  bool operator==(const Remark&) const = default;
};

/// Replaces the body of an earlier fact, or withdraws the fact. A withdrawn import takes its rows with it; a
/// withdrawn correction is undone.
struct Correction {
  Uuid fact;
  std::string body;  ///< canonical JSON of the fact's kind; empty = the fact is withdrawn
  std::string person;
  std::string reason;
  bool withdraws() const { return body.empty(); }
};

/// The public key of the device that the fact is of (SubjectPublicKeyInfo, DER).
struct KeyRecord {
  std::string public_key;
  bool operator==(const KeyRecord&) const = default;
};

/// A token (RFC 3161) over the ends of all chains as they stood then; both are kept as files.
struct StampRecord {
  Sha256 ends;
  Sha256 token;
  Instant time;  ///< that the token states
  std::string authority;
};

/// A device that was lost or is no longer trusted: its facts up to `last` count as before, later ones do not.
/// It cannot be undone; a device that comes back begins a chain of its own.
struct Retirement {
  Uuid device;
  std::int64_t last = 0;  ///< sequence of the last fact that counts
  Sha256 hash;            ///< of that fact; all zero where `last` is 0
  std::string person;
  std::string reason;
  bool operator==(const Retirement&) const = default;
};

}  // namespace strandbook
