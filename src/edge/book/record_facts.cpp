// What people and files add besides rows: job, imports, choices, remarks, corrections.

#include <array>

#include "edge/book/device_key.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/fact_words.hpp"

namespace strandbook {
namespace {

constexpr std::array<std::string_view, import_purposes> purpose_names = {
    "schedule", "references", "readings", "calibrations", "continuity", "traces", "document"};

std::string json_of(const std::vector<ImportNote>& notes) {
  std::string json = "[";
  for (const ImportNote& note : notes) {
    if (json.size() > 1) json += ',';
    CanonicalObject object;
    object.text_if("file", note.file).text_if("sheet", note.sheet).text_if("text", note.text);
    json += std::move(object).finish();
  }
  return json + "]";
}

std::string json_of(const std::map<std::string, std::string>& texts) {
  CanonicalObject object;
  for (const auto& [key, value] : texts) object.text(key, value);
  return std::move(object).finish();
}

template <class T>
Result<Done> readable(const Result<T>& result) {
  if (!result) return result.problem();
  return Done{};
}

}  // namespace

void append_wavelengths(CanonicalObject& object, const std::vector<Nanometres>& wavelengths) {
  if (wavelengths.empty()) return;
  std::string json = "[";
  for (const Nanometres wavelength : wavelengths) {
    if (json.size() > 1) json += ',';
    append_canonical_number(json, wavelength.value);
  }
  object.raw("wavelengths_nm", json + "]");
}

std::vector<Nanometres> wavelengths_from(const FactFields& fields) {
  std::vector<Nanometres> wavelengths;
  for (const double value : fields.numbers("wavelengths_nm")) wavelengths.push_back({value});
  return wavelengths;
}

std::string_view text_of(ImportPurpose purpose) { return purpose_names[static_cast<std::size_t>(purpose)]; }

std::optional<ImportPurpose> parse_import_purpose(std::string_view text) {
  for (std::size_t i = 0; i < purpose_names.size(); ++i)
    if (purpose_names[i] == text) return static_cast<ImportPurpose>(i);
  return std::nullopt;
}

FactDraft to_fact(const JobRecord& job) {
  CanonicalObject body;
  body.text_if("name", job.name);
  if (!job.settings.empty()) body.raw("settings", json_of(job.settings));
  return {FactKind::job, std::move(body).finish(), {}, {}};
}

Result<JobRecord> job_from(const FactFields& fields) {
  return checked(JobRecord{std::string(fields.text("name")), fields.texts("settings")}, fields);
}

FactDraft to_fact(const ImportRecord& import) {
  CanonicalObject body;
  body.text_if("file", import.file);
  if (!import.notes.empty()) body.raw("notes", json_of(import.notes));
  body.text("purpose", text_of(import.purpose)).text("sha256", text_of(import.hash));
  body.text_if("understood", import.understood);
  return {FactKind::import, std::move(body).finish(), {}, {}};
}

Result<ImportRecord> import_from(const FactFields& fields) {
  const std::optional<Sha256> hash = fields.word("sha256", parse_sha256);
  const std::optional<ImportPurpose> purpose = fields.word("purpose", parse_import_purpose);
  if (!hash) fields.mark("sha256");
  if (!purpose) fields.mark("purpose");
  ImportRecord import{std::string(fields.text("file")),
                      hash.value_or(Sha256{}),
                      purpose.value_or(ImportPurpose::readings),
                      std::string(fields.text("understood")),
                      {}};
  for (const FactFields& note : fields.objects("notes"))
    import.notes.push_back(
        {std::string(note.text("file")), std::string(note.text("sheet")), std::string(note.text("text"))});
  return checked(std::move(import), fields);
}

FactDraft to_fact(const RuleChoice& choice) {
  CanonicalObject body;
  body.text_if("configuration", word_of(choice.configuration)).text_if("cords", word_of(choice.cords));
  body.text_if("directions", word_of(choice.directions)).text_if("guard", word_of(choice.guard));
  number_if(body, "limit_db", choice.fixed_limit);
  body.text_if("method", word_of(choice.method)).text_if("own_rule", choice.own_rule_text);
  body.text_if("person", choice.person).text_if("profile", choice.profile_text);
  body.text_if("reason", choice.reason).text_if("rule", choice.rule);
  append_wavelengths(body, choice.wavelengths);
  return {FactKind::rule_choice, std::move(body).finish(), {}, {}};
}

Result<RuleChoice> rule_choice_from(const FactFields& fields) {
  RuleChoice choice;
  choice.rule = fields.text("rule");
  choice.own_rule_text = fields.text("own_rule");
  choice.profile_text = fields.text("profile");
  choice.guard = fields.word("guard", parse_guard_band);
  choice.fixed_limit = quantity<Decibels>(fields, "limit_db");
  choice.wavelengths = wavelengths_from(fields);
  choice.directions = fields.word("directions", parse_direction_demand);
  choice.method = fields.word("method", parse_reference_method);
  choice.cords = fields.word("cords", parse_cord_grade);
  choice.configuration = fields.word("configuration", parse_configuration);
  choice.person = fields.text("person");
  choice.reason = fields.text("reason");
  return checked(std::move(choice), fields);
}

FactDraft to_fact(const Remark& remark) {
  CanonicalObject body;
  body.text_if("fact", remark.about_fact ? text_of(*remark.about_fact) : std::string{});
  body.text_if("link", remark.about_strand.link).text_if("person", remark.person);
  body.text_if("strand", remark.about_strand.strand).text_if("text", remark.text);
  return {remark.kind, std::move(body).finish(), remark.about_strand, {}};
}

Result<Remark> remark_from(FactKind kind, const FactFields& fields) {
  return checked(Remark{kind,
                        std::string(fields.text("text")),
                        std::string(fields.text("person")),
                        {std::string(fields.text("link")), std::string(fields.text("strand"))},
                        fields.uuid("fact")},
                 fields);
}

FactDraft to_fact(const CordCheck& check, std::string_view entry) {
  CanonicalObject body;
  body.number("allowed_db", check.allowed.value).text_if("cords", check.cords).text_if("entry", entry);
  body.number("forward_db", check.forward.value).text_if("person", check.person);
  body.number("reversed_db", check.reversed.value);
  append_time(body, check.time);
  body.number("wavelength_nm", check.wavelength.value);
  return {FactKind::cord_check, std::move(body).finish(), {}, {}};
}

Result<CordCheck> cord_check_from(const FactFields& fields) {
  return checked(CordCheck{std::string(fields.text("cords")),
                           {fields.needed_number("wavelength_nm")},
                           {fields.needed_number("forward_db")},
                           {fields.needed_number("reversed_db")},
                           {fields.needed_number("allowed_db")},
                           std::string(fields.text("person")),
                           fields.instant().value_or(Instant{})},
                 fields);
}

FactDraft to_fact(const KeyRecord& key) {
  CanonicalObject body;
  body.text("key", base64_of(key.public_key));
  return {FactKind::device_key, std::move(body).finish(), {}, {}};
}

Result<KeyRecord> key_from(const FactFields& fields) {
  KeyRecord key{bytes_of_base64(fields.text("key"))};
  if (key.public_key.empty()) fields.mark("key");
  return checked(std::move(key), fields);
}

FactDraft to_fact(const StampRecord& stamp) {
  CanonicalObject body;
  body.text_if("authority", stamp.authority).text("ends", text_of(stamp.ends));
  append_time(body, stamp.time);
  body.text("token", text_of(stamp.token));
  return {FactKind::time_stamp, std::move(body).finish(), {}, {}};
}

Result<StampRecord> stamp_from(const FactFields& fields) {
  const std::optional<Sha256> ends = fields.word("ends", parse_sha256);
  const std::optional<Sha256> token = fields.word("token", parse_sha256);
  if (!ends) fields.mark("ends");
  if (!token) fields.mark("token");
  return checked(StampRecord{ends.value_or(Sha256{}), token.value_or(Sha256{}),
                             fields.instant().value_or(Instant{}), std::string(fields.text("authority"))},
                 fields);
}

FactDraft to_fact(const Retirement& retirement) {
  CanonicalObject body;
  body.text("device", text_of(retirement.device)).text("hash", text_of(retirement.hash));
  body.integer("last", retirement.last).text_if("person", retirement.person);
  body.text_if("reason", retirement.reason);
  return {FactKind::device_retired, std::move(body).finish(), {}, {}};
}

Result<Retirement> retirement_from(const FactFields& fields) {
  const std::optional<Uuid> device = fields.uuid("device");
  const std::optional<Sha256> hash = fields.word("hash", parse_sha256);
  const std::optional<std::int64_t> last = fields.integer("last");
  if (!device) fields.mark("device");
  if (!hash) fields.mark("hash");
  if (!last || *last < 0) fields.mark("last");
  return checked(Retirement{device.value_or(Uuid{}), last.value_or(0), hash.value_or(Sha256{}),
                            std::string(fields.text("person")), std::string(fields.text("reason"))},
                 fields);
}

FactDraft to_fact(const Correction& correction, const Subject& subject) {
  CanonicalObject body;
  if (!correction.withdraws()) body.raw("body", correction.body);
  body.text("fact", text_of(correction.fact)).text_if("person", correction.person);
  body.text_if("reason", correction.reason);
  return {FactKind::correction, std::move(body).finish(), subject, correction.fact};
}

Result<Correction> correction_from(const FactFields& fields) {
  const std::optional<Uuid> fact = fields.uuid("fact");
  if (!fact) fields.mark("fact");
  return checked(Correction{fact.value_or(Uuid{}), fields.object_text("body"),
                            std::string(fields.text("person")), std::string(fields.text("reason"))},
                 fields);
}

Subject subject_of(FactKind kind, const FactFields& fields) {
  switch (kind) {
    case FactKind::strand: {
      const std::string_view link = fields.text("link");
      return {std::string(link.empty() ? fields.text("cable") : link), std::string(fields.text("strand"))};
    }
    case FactKind::reading:
    case FactKind::trace:
    case FactKind::splice_attempt:
    case FactKind::note:
    case FactKind::acknowledgement:
    case FactKind::sign_off:
      return {std::string(fields.text("link")), std::string(fields.text("strand"))};
    case FactKind::job:
    case FactKind::import:
    case FactKind::reference:
    case FactKind::rule_choice:
    case FactKind::unread_row:
    case FactKind::correction:
    case FactKind::cord_check:
    case FactKind::device_key:
    case FactKind::device_retired:
    case FactKind::calibration:
    case FactKind::light_path:
    case FactKind::time_stamp:
      return {};
  }
  return {};
}

std::vector<Sha256> files_named_in(FactKind kind, const FactFields& fields) {
  std::vector<Sha256> files;
  const auto add = [&](const char* key) {
    if (const auto hash = fields.word(key, parse_sha256)) files.push_back(*hash);
  };
  if (kind == FactKind::import) add("sha256");
  if (kind == FactKind::time_stamp) (add("ends"), add("token"));
  return files;
}

Result<Done> check_body(FactKind kind, const FactFields& fields) {
  switch (kind) {
    case FactKind::job:
      return readable(job_from(fields));
    case FactKind::import:
      return readable(import_from(fields));
    case FactKind::strand:
      return readable(strand_from(fields));
    case FactKind::reference:
      return readable(reference_from(fields));
    case FactKind::reading:
      return readable(reading_in(fields));
    case FactKind::rule_choice:
      return readable(rule_choice_from(fields));
    case FactKind::unread_row:
      return readable(unread_from(fields));
    case FactKind::note:
    case FactKind::acknowledgement:
    case FactKind::sign_off:
      return readable(remark_from(kind, fields));
    case FactKind::correction:
      return readable(correction_from(fields));
    case FactKind::cord_check:
      return readable(cord_check_from(fields));
    case FactKind::device_key:
      return readable(key_from(fields));
    case FactKind::device_retired:
      return readable(retirement_from(fields));
    case FactKind::calibration:
      return readable(calibration_from(fields));
    case FactKind::light_path:
      return readable(light_path_from(fields));
    case FactKind::time_stamp:
      return readable(stamp_from(fields));
    case FactKind::trace:
      return readable(trace_from(fields));
    case FactKind::splice_attempt:
      return readable(splice_attempt_from(fields));
  }
  return Done{};
}

}  // namespace strandbook
