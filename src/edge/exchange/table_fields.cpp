// Names by which a person maps columns, table by table.
#include <algorithm>

#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/heading_words.hpp"

namespace strandbook {
namespace {

using enum Field;

const std::vector<NamedField> schedule_fields = {{"link", link, Unit::none},
                                                 {"strand", strand, Unit::none},
                                                 {"cable", cable, Unit::none},
                                                 {"fibre", fibre, Unit::none},
                                                 {"plant", plant, Unit::none},
                                                 {"length_m", length, Unit::m},
                                                 {"connections", connections, Unit::none},
                                                 {"splices", splices, Unit::none},
                                                 {"end_a", end_a, Unit::none},
                                                 {"end_b", end_b, Unit::none},
                                                 {"building", building, Unit::none},
                                                 {"rule", rule, Unit::none},
                                                 {"limit_db", limit, Unit::db},
                                                 {"reference_method", method, Unit::none},
                                                 {"cord_grade", cord_grade, Unit::none},
                                                 {"configuration", configuration, Unit::none},
                                                 {"wavelengths", wavelength, Unit::nm},
                                                 {"directions", direction, Unit::none},
                                                 {"strands", strand_count, Unit::none}};

const std::vector<NamedField> reference_fields = {{"reference", reference, Unit::none},
                                                  {"wavelength_nm", wavelength, Unit::nm},
                                                  {"meter_setting_nm", meter_setting, Unit::nm},
                                                  {"power_dbm", power, Unit::dbm},
                                                  {"method", method, Unit::none},
                                                  {"time", time, Unit::none},
                                                  {"date", date, Unit::none},
                                                  {"source", source, Unit::none},
                                                  {"meter", meter, Unit::none},
                                                  {"cords", cords, Unit::none},
                                                  {"operator", operator_name, Unit::none},
                                                  {"kind", kind, Unit::none},
                                                  {"link", link, Unit::none},
                                                  {"strand", strand, Unit::none}};

const std::vector<NamedField> reading_fields = {{"link", link, Unit::none},
                                                {"strand", strand, Unit::none},
                                                {"wavelength_nm", wavelength, Unit::nm},
                                                {"direction", direction, Unit::none},
                                                {"power_dbm", power, Unit::dbm},
                                                {"loss_db", loss, Unit::db},
                                                {"reference", reference, Unit::none},
                                                {"time", time, Unit::none},
                                                {"operator", operator_name, Unit::none},
                                                {"source", source, Unit::none},
                                                {"meter", meter, Unit::none},
                                                {"uncertainty_db", uncertainty, Unit::db},
                                                {"date", date, Unit::none},
                                                {"from", from, Unit::none},
                                                {"to", to, Unit::none},
                                                {"cords", cords, Unit::none},
                                                {"meter_setting_nm", meter_setting, Unit::nm},
                                                {"length_m", length, Unit::m},
                                                {"kind", kind, Unit::none},
                                                {"cable", cable, Unit::none},
                                                {"method", method, Unit::none},
                                                {"launch_dbm", launch_power, Unit::dbm}};

const std::vector<NamedField> calibration_fields = {
    {"instrument", instrument, Unit::none},       {"kind", kind, Unit::none},
    {"certificate", certificate, Unit::none},     {"calibrated_on", calibrated_on, Unit::none},
    {"valid_through", valid_through, Unit::none}, {"valid_days", valid_days, Unit::none}};

const std::vector<NamedField> continuity_fields = {{"from", from, Unit::none},
                                                   {"to", to, Unit::none},
                                                   {"time", time, Unit::none},
                                                   {"date", date, Unit::none},
                                                   {"operator", operator_name, Unit::none}};

}  // namespace

const std::vector<NamedField>& fields_of(TableKind table) {
  switch (table) {
    case TableKind::schedule:
      return schedule_fields;
    case TableKind::references:
      return reference_fields;
    case TableKind::readings:
      return reading_fields;
    case TableKind::calibrations:
      return calibration_fields;
    case TableKind::continuity:
      return continuity_fields;
  }
  return reading_fields;
}

bool belongs_to(Field field, TableKind table) {
  const auto& fields = fields_of(table);
  return std::any_of(fields.begin(), fields.end(), [&](const NamedField& f) { return f.field == field; });
}

std::optional<NamedField> field_by_name(std::string_view name, TableKind table) {
  const std::string key = bare_key(name);
  for (const NamedField& f : fields_of(table))
    if (bare_key(f.name) == key) return f;
  return std::nullopt;
}

bool is_field_name(std::string_view name) {
  return std::any_of(table_kinds.begin(), table_kinds.end(),
                     [name](TableKind table) { return field_by_name(name, table).has_value(); });
}

}  // namespace strandbook
