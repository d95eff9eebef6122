// Rows of schedule, references, readings, and rows that could not be read.

#include <cmath>

#include "edge/book/canonical_json.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/fact_words.hpp"

namespace strandbook {
namespace {

std::string origin_text(const RowOrigin& origin) { return origin ? text_of(*origin) : std::string{}; }

std::string_view file_if_typed(std::string_view file, const RowOrigin& origin) {
  return origin ? std::string_view{} : file;
}

Place place_from(const FactFields& fields) {
  const SourceFile source = source_from(fields);
  return {source.file, source.sheet, static_cast<std::size_t>(fields.integer("row").value_or(0)),
          std::string(fields.text("column"))};
}

std::optional<int> count(const FactFields& fields, const char* key) {
  const std::optional<std::int64_t> value = fields.integer(key);
  return value ? std::optional<int>{static_cast<int>(*value)} : std::nullopt;
}

std::string_view text_of(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::power:
      return "power";
    case ReadingKind::loss:
      return "loss";
    case ReadingKind::no_light:
      return "no light";
  }
  return {};
}

std::optional<ReadingKind> parse_reading_kind(std::string_view text) {
  for (const ReadingKind kind : {ReadingKind::power, ReadingKind::loss, ReadingKind::no_light})
    if (text_of(kind) == text) return kind;
  return std::nullopt;
}

std::string_view text_of(ReferenceKind kind) {
  return kind == ReferenceKind::opening ? "opening" : "closing check";
}

std::optional<ReferenceKind> parse_reference_kind(std::string_view text) {
  for (const ReferenceKind kind : {ReferenceKind::opening, ReferenceKind::closing_check})
    if (text_of(kind) == text) return kind;
  return std::nullopt;
}

}  // namespace

void append_time(CanonicalObject& object, const Instant& at) {
  std::string parts;
  if (at.dated) parts += 'd';
  if (at.timed) parts += 't';
  if (at.zoned) parts += 'z';
  object.integer("time", at.seconds).text("time_has", parts);
}

FactDraft to_fact(const ScheduledStrand& strand, const RowOrigin& origin) {
  CanonicalObject body;
  body.text_if("building", strand.building)
      .text_if("cable", strand.cable)
      .text_if("column", strand.at.column);
  body.text_if("configuration", word_of(strand.configuration));
  if (strand.connections) body.integer("connections", *strand.connections);
  body.text_if("cords", word_of(strand.cords)).text_if("directions", word_of(strand.directions));
  body.text_if("doubt", strand.doubt);
  body.text_if("end_a", strand.end_a).text_if("end_b", strand.end_b).text_if("fibre", word_of(strand.fibre));
  body.text_if("file", file_if_typed(strand.at.file, origin)).text_if("import", origin_text(origin));
  number_if(body, "length_m", strand.length);
  number_if(body, "limit_db", strand.fixed_limit);
  body.text_if("link", strand.link).text_if("method", word_of(strand.method));
  body.text_if("plant", strandbook::text_of(strand.plant));
  body.integer_if("row", static_cast<std::int64_t>(strand.at.row)).text_if("rule", strand.rule);
  body.text_if("sheet", strand.at.sheet);
  if (strand.splices) body.integer("splices", *strand.splices);
  body.text_if("strand", strand.strand);
  append_wavelengths(body, strand.wavelengths);
  return {FactKind::strand, std::move(body).finish(), {link_name(strand), strand.strand}, {}};
}

Result<ScheduledStrand> strand_from(const FactFields& fields) {
  ScheduledStrand strand;
  strand.cable = fields.text("cable");
  strand.link = fields.text("link");
  strand.strand = fields.text("strand");
  strand.end_a = fields.text("end_a");
  strand.end_b = fields.text("end_b");
  strand.building = fields.text("building");
  strand.doubt = fields.text("doubt");
  strand.fibre = fields.word("fibre", parse_fibre_category);
  strand.plant = fields.word("plant", parse_plant).value_or(Plant::unstated);
  strand.length = quantity<Metres>(fields, "length_m");
  strand.connections = count(fields, "connections");
  strand.splices = count(fields, "splices");
  strand.rule = fields.text("rule");
  strand.fixed_limit = quantity<Decibels>(fields, "limit_db");
  strand.method = fields.word("method", parse_reference_method);
  strand.cords = fields.word("cords", parse_cord_grade);
  strand.configuration = fields.word("configuration", parse_configuration);
  strand.wavelengths = wavelengths_from(fields);
  strand.directions = fields.word("directions", parse_direction_demand);
  strand.at = place_from(fields);
  return checked(std::move(strand), fields);
}

FactDraft to_fact(const Reference& reference, const RowOrigin& origin, std::string_view entry) {
  CanonicalObject body;
  body.text_if("column", reference.at.column).text_if("cords", reference.cords);
  body.text_if("entry", entry);
  body.text_if("file", file_if_typed(reference.at.file, origin)).text_if("id", reference.id);
  body.text_if("import", origin_text(origin)).text("kind", text_of(reference.kind));
  body.text_if("meter", reference.meter);
  number_if(body, "meter_setting_nm", reference.meter_setting);
  body.text_if("method", word_of(reference.method)).text_if("operator", reference.operator_name);
  body.number("power_dbm", reference.power.value);
  body.integer_if("row", static_cast<std::int64_t>(reference.at.row)).text_if("sheet", reference.at.sheet);
  body.text_if("source", reference.source);
  if (reference.time) append_time(body, *reference.time);
  body.number("wavelength_nm", reference.wavelength.value);
  return {FactKind::reference, std::move(body).finish(), {}, {}};
}

Result<Reference> reference_from(const FactFields& fields) {
  Reference reference;
  reference.id = fields.text("id");
  reference.kind = fields.word("kind", parse_reference_kind).value_or(ReferenceKind::opening);
  reference.wavelength = {fields.needed_number("wavelength_nm")};
  reference.meter_setting = quantity<Nanometres>(fields, "meter_setting_nm");
  reference.power = {fields.needed_number("power_dbm")};
  reference.method = fields.word("method", parse_reference_method);
  reference.time = fields.instant();
  reference.source = fields.text("source");
  reference.meter = fields.text("meter");
  reference.cords = fields.text("cords");
  reference.operator_name = fields.text("operator");
  reference.at = place_from(fields);
  return checked(std::move(reference), fields);
}

FactDraft to_fact(const Reading& reading, const SourceFile& source, const RowOrigin& origin,
                  std::string_view entry) {
  CanonicalObject body;
  body.integer_if("column", reading.column).text_if("cords", reading.cords);
  body.text_if("direction", word_of(reading.direction)).text_if("entry", entry);
  body.text_if("file", file_if_typed(source.file, origin));
  body.text_if("import", origin_text(origin)).text("kind", text_of(reading.kind));
  if (!std::isnan(reading.length_m)) body.number("length_m", reading.length_m);
  body.text_if("link", reading.link).text_if("meter", reading.meter);
  if (reading.meter_setting.value != 0) body.number("meter_setting_nm", reading.meter_setting.value);
  body.text_if("operator", reading.operator_name).text_if("reference", reading.reference);
  body.integer_if("row", reading.row).text_if("sheet", source.sheet).text_if("source", reading.source);
  body.text_if("strand", reading.strand);
  if (reading.has_time) append_time(body, reading.time);
  if (!std::isnan(reading.standard_uncertainty_db))
    body.number("uncertainty_db", reading.standard_uncertainty_db);
  body.number("value", reading.value);
  if (reading.wavelength.value != 0) body.number("wavelength_nm", reading.wavelength.value);
  return {FactKind::reading,
          std::move(body).finish(),
          {std::string(reading.link), std::string(reading.strand)},
          {}};
}

Result<Reading> reading_in(const FactFields& fields) {
  Reading reading;
  reading.link = fields.text("link");
  reading.strand = fields.text("strand");
  reading.reference = fields.text("reference");
  reading.source = fields.text("source");
  reading.meter = fields.text("meter");
  reading.cords = fields.text("cords");
  reading.operator_name = fields.text("operator");
  reading.wavelength = {fields.number("wavelength_nm").value_or(0)};
  reading.meter_setting = {fields.number("meter_setting_nm").value_or(0)};
  reading.value = fields.needed_number("value");
  reading.standard_uncertainty_db = fields.number("uncertainty_db").value_or(reading.standard_uncertainty_db);
  reading.length_m = fields.number("length_m").value_or(reading.length_m);
  const std::optional<Instant> time = fields.instant();
  reading.has_time = time.has_value();
  reading.time = time.value_or(Instant{});
  const std::optional<ReadingKind> kind = fields.word("kind", parse_reading_kind);
  if (!kind) fields.mark("kind");
  reading.kind = kind.value_or(ReadingKind::loss);
  reading.direction = fields.word("direction", parse_direction);
  reading.row = static_cast<std::uint32_t>(fields.integer("row").value_or(0));
  reading.column = static_cast<std::uint16_t>(fields.integer("column").value_or(0));
  return checked(reading, fields);
}

Result<Reading> reading_from(const FactFields& fields, TextKeeper& keeper) {
  Result<Reading> reading = reading_in(fields);
  if (!reading) return reading;
  for (std::string_view Reading::*text :
       {&Reading::link, &Reading::strand, &Reading::reference, &Reading::source, &Reading::meter,
        &Reading::cords, &Reading::operator_name})
    (*reading).*text = keeper.keep((*reading).*text);
  return reading;
}

FactDraft to_fact(const Calibration& calibration, const RowOrigin& origin) {
  CanonicalObject body;
  body.text_if("certificate", calibration.certificate);
  body.text_if("file", file_if_typed(calibration.at.file, origin)).text("from", iso_text(calibration.from));
  body.text_if("import", origin_text(origin)).text("instrument", calibration.instrument);
  body.text_if("kind", calibration.kind);
  body.integer_if("row", static_cast<std::int64_t>(calibration.at.row))
      .text_if("sheet", calibration.at.sheet);
  body.text("through", iso_text(calibration.through));
  return {FactKind::calibration, std::move(body).finish(), {}, {}};
}

Result<Calibration> calibration_from(const FactFields& fields) {
  Calibration calibration;
  calibration.instrument = fields.text("instrument");
  calibration.kind = fields.text("kind");
  calibration.certificate = fields.text("certificate");
  const auto day = [&fields](const char* key) {
    const std::optional<Instant> found = parse_iso_day(fields.text(key));
    if (!found) fields.mark(key);
    return found.value_or(Instant{});
  };
  calibration.from = day("from");
  calibration.through = day("through");
  calibration.at = place_from(fields);
  return checked(std::move(calibration), fields);
}

FactDraft to_fact(const LightPath& path, const RowOrigin& origin) {
  CanonicalObject body;
  body.text_if("file", file_if_typed(path.at.file, origin)).text_if("import", origin_text(origin));
  body.text("in", path.in).text_if("operator", path.operator_name).text_if("out", path.out);
  body.integer_if("row", static_cast<std::int64_t>(path.at.row)).text_if("sheet", path.at.sheet);
  if (path.time) append_time(body, *path.time);
  return {FactKind::light_path, std::move(body).finish(), {}, {}};
}

Result<LightPath> light_path_from(const FactFields& fields) {
  return checked(LightPath{std::string(fields.text("in")), std::string(fields.text("out")), fields.instant(),
                           std::string(fields.text("operator")), place_from(fields)},
                 fields);
}

FactDraft to_unread_fact(const Problem& problem, const RowOrigin& origin) {
  CanonicalObject body;
  body.text_if("advice", problem.advice).text_if("column", problem.at.column);
  body.text_if("file", file_if_typed(problem.at.file, origin)).text_if("found", problem.found);
  body.text_if("import", origin_text(origin)).integer_if("row", static_cast<std::int64_t>(problem.at.row));
  body.text_if("sheet", problem.at.sheet).text_if("wanted", problem.wanted);
  return {FactKind::unread_row, std::move(body).finish(), {}, {}};
}

Result<UnreadRow> unread_from(const FactFields& fields) {
  return checked(UnreadRow{{place_from(fields), std::string(fields.text("found")),
                            std::string(fields.text("wanted")), std::string(fields.text("advice"))}},
                 fields);
}

RowOrigin origin_of(const FactFields& fields) { return fields.uuid("import"); }

SourceFile source_from(const FactFields& fields) {
  return {std::string(fields.text("file")), std::string(fields.text("sheet"))};
}

}  // namespace strandbook
