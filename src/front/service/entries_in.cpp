#include "front/service/entries_in.hpp"

#include <fmt/format.h>

#include <chrono>

#include "edge/book/uuid.hpp"

namespace strandbook {
namespace {

constexpr double least_nm = 400;
constexpr double most_nm = 2000;

std::string entry_in(FieldsIn& fields) {
  std::string entry = fields.needed_text("entry");
  if (!entry.empty() && !parse_uuid(entry))
    fields.note("entry", "\"" + entry + "\"", "a UUID made by the screen");
  return entry;
}

/// What the meter showed: a level, a loss or nothing; one of them.
void take_value(FieldsIn& fields, Reading& reading) {
  const auto power = fields.number("power_dbm", -100, 50);
  const auto loss = fields.number("loss_db", -100, 100);
  const bool dark = fields.truth("no_light");
  const int given = (power ? 1 : 0) + (loss ? 1 : 0) + (dark ? 1 : 0);
  if (given != 1)
    fields.note("power_dbm", std::to_string(given) + " values", "one of power_dbm, loss_db, no_light");
  reading.kind = dark ? ReadingKind::no_light : power ? ReadingKind::power : ReadingKind::loss;
  reading.value = power.value_or(loss.value_or(0));
}

}  // namespace

Instant now_utc() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return {std::chrono::duration_cast<std::chrono::seconds>(now).count(), true, true, true};
}

Result<ReadingIn> reading_in(FieldsIn fields, EntryNeed need) {
  ReadingIn in;
  if (need == EntryNeed::with_entry) in.entry = entry_in(fields);
  const auto text = [&](const char* key) -> std::string_view {
    return in.texts.emplace_back(fields.text(key).value_or(""));
  };
  Reading& reading = in.reading;
  reading.link = text("link");
  reading.strand = text("strand");
  if (reading.link.empty() && reading.strand.empty()) fields.note("strand", "nothing", "a link or a strand");
  reading.wavelength = {fields.needed_number("wavelength_nm", least_nm, most_nm)};
  reading.direction = fields.choice("direction", parse_direction, "AB or BA");
  take_value(fields, reading);
  const auto time = fields.instant("time");
  if (!time && need == EntryNeed::with_entry) fields.note("time", "nothing", "when the reading was taken");
  reading.time = time.value_or(now_utc());
  reading.has_time = true;
  reading.reference = text("reference");
  reading.operator_name = text("operator");
  reading.source = text("source");
  reading.meter = text("meter");
  reading.cords = text("cords");
  if (const Result<Done> done = fields.check(); !done) return done.problem();
  return in;
}

Result<ReferenceIn> reference_in(FieldsIn fields) {
  ReferenceIn in;
  in.entry = entry_in(fields);
  Reference& reference = in.reference;
  const std::string kind = fields.needed_text("kind");
  if (kind != "opening" && kind != "closing_check")
    fields.note("kind", "\"" + kind + "\"", "opening or closing_check");
  reference.kind = kind == "opening" ? ReferenceKind::opening : ReferenceKind::closing_check;
  reference.wavelength = {fields.needed_number("wavelength_nm", least_nm, most_nm)};
  reference.power = {fields.needed_number("power_dbm", -100, 50)};
  reference.method = fields.choice("method", parse_reference_method, "one-cord, two-cord or three-cord");
  reference.time = fields.instant("time");
  if (!reference.time) fields.note("time", "nothing", "when the reference was taken");
  reference.source = fields.text("source").value_or("");
  reference.meter = fields.text("meter").value_or("");
  reference.cords = fields.text("cords").value_or("");
  reference.operator_name = fields.text("operator").value_or("");
  reference.id = fields.text("reference").value_or("");
  if (const Result<Done> done = fields.check(); !done) return done.problem();
  return in;
}

Result<CordCheckIn> cord_check_in(FieldsIn fields) {
  CordCheckIn in;
  in.entry = entry_in(fields);
  in.check.cords = fields.needed_text("cords");
  in.check.wavelength = {fields.needed_number("wavelength_nm", least_nm, most_nm)};
  in.check.forward = {fields.needed_number("forward_db", -100, 100)};
  in.check.reversed = {fields.needed_number("reversed_db", -100, 100)};
  in.check.allowed = {fields.needed_number("allowed_db", 0, 10)};
  in.check.person = fields.needed_text("person");
  in.check.time = now_utc();
  if (const Result<Done> done = fields.check(); !done) return done.problem();
  return in;
}

Result<SpliceAttemptIn> splice_attempt_in(FieldsIn fields) {
  SpliceAttemptIn in;
  in.entry = entry_in(fields);
  in.attempt.link = fields.text("link").value_or("");
  in.attempt.strand = fields.needed_text("strand");
  in.attempt.from_a = {fields.needed_number("at_m", 0, 1e6)};
  const double attempt = fields.needed_number("attempt", 1, 20);
  in.attempt.attempt = static_cast<int>(attempt);
  if (in.attempt.attempt != attempt)
    fields.note("attempt", fmt::format("{:g}", attempt), "a whole number, such as 2");
  in.attempt.method = fields.choice("method", parse_splice_method, "fusion or mechanical");
  in.attempt.person = fields.needed_text("person");
  in.attempt.time = now_utc();
  if (const Result<Done> done = fields.check(); !done) return done.problem();
  return in;
}

}  // namespace strandbook
