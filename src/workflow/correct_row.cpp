#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "workflow/keep_book.hpp"

namespace strandbook {
namespace {

using Values = std::map<std::string, std::string>;

Problem bad_value(const std::string& field, const std::string& found, const std::string& wanted) {
  return {{"--set " + field, {}, 0, {}}, "\"" + found + "\"", wanted, "Nothing was changed."};
}

/// Reads one field after the other from the given values; what is left at the end is no field of the row.
class ValueTaker {
 public:
  explicit ValueTaker(Values values) : values_(std::move(values)) {}

  std::optional<std::string> text(const std::string& field) {
    const auto at = values_.find(field);
    if (at == values_.end()) return std::nullopt;
    std::string value = at->second;
    values_.erase(at);
    return value;
  }

  std::optional<double> number(const std::string& field, double least, double most) {
    const auto given = text(field);
    if (!given) return std::nullopt;
    double value = 0;
    const auto [end, error] = std::from_chars(given->data(), given->data() + given->size(), value);
    const bool read = error == std::errc{} && end == given->data() + given->size();
    if (read && value >= least && value <= most) return value;
    note(bad_value(field, *given, fmt::format("a number from {} to {}", least, most)));
    return std::nullopt;
  }

  template <class Parse>
  auto choice(const std::string& field, Parse parse, const std::string& wanted) -> decltype(parse("")) {
    const auto given = text(field);
    if (!given) return std::nullopt;
    const auto value = parse(*given);
    if (!value) note(bad_value(field, *given, wanted));
    return value;
  }

  /// The first thing wrong, or the first value that no field took.
  std::optional<Problem> problem(const std::string& fields) const {
    if (problem_) return problem_;
    if (values_.empty()) return std::nullopt;
    return Problem{{"--set " + values_.begin()->first, {}, 0, {}},
                   "no such field of this row",
                   fields,
                   "Nothing was changed."};
  }

 private:
  void note(Problem problem) {
    if (!problem_) problem_ = std::move(problem);
  }
  Values values_;
  std::optional<Problem> problem_;
};

Result<NewValues> corrected(Reading reading, ReadingSet& texts, const Values& values) {
  ValueTaker take(values);
  if (const auto link = take.text("link")) reading.link = texts.keep_text(*link);
  if (const auto strand = take.text("strand")) reading.strand = texts.keep_text(*strand);
  if (const auto name = take.text("reference")) reading.reference = texts.keep_text(*name);
  if (const auto nm = take.number("wavelength_nm", 400, 2000)) reading.wavelength = {*nm};
  if (const auto way = take.choice("direction", parse_direction, "AB or BA")) reading.direction = way;
  if (const auto loss = take.number("loss_db", -100, 100)) {
    reading.kind = ReadingKind::loss;
    reading.value = *loss;
  }
  if (const auto level = take.number("power_dbm", -100, 50)) {
    reading.kind = ReadingKind::power;
    reading.value = *level;
  }
  if (auto wrong = take.problem("link, strand, reference, wavelength_nm, direction, loss_db, power_dbm"))
    return *wrong;
  return NewValues{reading};
}

Result<NewValues> corrected(ScheduledStrand strand, const Values& values) {
  ValueTaker take(values);
  if (const auto fibre = take.choice("fibre", parse_fibre_category, "OM1 to OM5, OS1, OS1a, OS2"))
    strand.fibre = fibre;
  if (const auto plant = take.choice("plant", parse_plant, "inside, indoor-outdoor or outside"))
    strand.plant = *plant;
  if (const auto method =
          take.choice("reference_method", parse_reference_method, "one-cord, two-cord or three-cord"))
    strand.method = method;
  if (const auto length = take.number("length_m", 0, 200000)) strand.length = Metres{*length};
  if (const auto count = take.number("connections", 0, 1000)) strand.connections = static_cast<int>(*count);
  if (const auto count = take.number("splices", 0, 1000)) strand.splices = static_cast<int>(*count);
  if (const auto limit = take.number("limit_db", 0, 100)) strand.fixed_limit = Decibels{*limit};
  if (auto wrong = take.problem("fibre, plant, reference_method, length_m, connections, splices, limit_db"))
    return *wrong;
  return NewValues{std::move(strand)};
}

Result<NewValues> corrected(Reference reference, const Values& values) {
  ValueTaker take(values);
  if (const auto level = take.number("power_dbm", -100, 50)) reference.power = {*level};
  if (const auto nm = take.number("wavelength_nm", 400, 2000)) reference.wavelength = {*nm};
  if (const auto nm = take.number("meter_setting_nm", 400, 2000)) reference.meter_setting = Nanometres{*nm};
  if (const auto method = take.choice("method", parse_reference_method, "one-cord, two-cord or three-cord"))
    reference.method = method;
  if (auto wrong = take.problem("power_dbm, wavelength_nm, meter_setting_nm, method")) return *wrong;
  return NewValues{std::move(reference)};
}

}  // namespace

std::optional<std::uint32_t> row_of(const std::vector<Uuid>& facts, const Uuid& fact) {
  const auto at = std::find(facts.begin(), facts.end(), fact);
  return at == facts.end() ? std::nullopt : std::optional{static_cast<std::uint32_t>(at - facts.begin())};
}

Result<Uuid> fact_named(const std::string& text) {
  if (const auto id = parse_uuid(text)) return *id;
  return Problem{{"fact", {}, 0, {}},
                 "\"" + text + "\"",
                 "the id of a fact",
                 "`book history` shows the ids of a strand's facts."};
}

Result<NewValues> new_values(const CountingRows& rows, const Uuid& fact, const Values& values,
                             ReadingSet& texts) {
  if (const auto row = row_of(rows.reading_facts, fact)) return corrected(rows.readings[*row], texts, values);
  if (const auto row = row_of(rows.strand_facts, fact)) return corrected(rows.schedule[*row], values);
  if (const auto row = row_of(rows.reference_facts, fact)) return corrected(rows.references[*row], values);
  return Problem{{"fact", {}, 0, {}},
                 text_of(fact),
                 "a reading, schedule row or reference that counts now",
                 "`book history` shows the ids of a strand's facts and which count."};
}

Result<Done> correct_row(OpenBook& book, const std::string& fact, const Values& values,
                         const Ground& ground) {
  const Result<Uuid> id = fact_named(fact);
  if (!id) return id.problem();
  Result<BookState> state = current_state(*book.store);
  if (!state) return state.problem();
  const CountingRows rows{state->schedule,        state->schedule_facts, state->references,
                          state->reference_facts, state->readings.rows,  state->reading_facts};
  ReadingSet texts;
  const Result<NewValues> row = new_values(rows, *id, values, texts);
  if (!row) return row.problem();
  const Result<Uuid> done = correct_fact(*book.store, book.device, *id, *row, ground);
  if (!done) return done.problem();
  return Done{};
}

Result<Done> withdraw_row(OpenBook& book, const std::string& fact, const Ground& ground) {
  const Result<Uuid> id = fact_named(fact);
  if (!id) return id.problem();
  const Result<Uuid> done = withdraw_fact(*book.store, book.device, *id, ground);
  if (!done) return done.problem();
  return Done{};
}

}  // namespace strandbook
