#pragma once
// What a column heading means: its field, unit, wavelength and direction, in several languages.

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/link.hpp"
#include "edge/exchange/cell_quantity.hpp"

namespace strandbook {

/// Meanings a column can have. The last five are no fields of a table but must be told apart from them.
enum class Field : std::uint8_t {
  link,
  strand,
  strand_count,
  cable,
  fibre,
  plant,
  length,
  connections,
  splices,
  end_a,
  end_b,
  building,
  rule,
  limit,
  method,
  cord_grade,
  configuration,
  wavelength,
  meter_setting,
  direction,
  from,
  to,
  power,
  loss,
  reference,
  time,
  date,
  source,
  meter,
  cords,
  operator_name,
  uncertainty,
  kind,
  instrument,
  certificate,
  calibrated_on,
  valid_through,
  valid_days,
  identifier,
  launch_power,  ///< what a transmitter sends: never a received level
  value,         ///< "result", "reading": a level or a loss after its unit
  not_used,      ///< known, and known to be none of ours: margin, reflectance, alarm threshold
  unknown,
};

/// The tables that can be read in.
enum class TableKind : std::uint8_t { schedule, references, readings, calibrations, continuity };
inline constexpr std::array table_kinds = {TableKind::schedule, TableKind::references, TableKind::readings,
                                           TableKind::calibrations, TableKind::continuity};

struct HeadingMeaning {
  Field field = Field::unknown;
  Unit unit = Unit::none;
  double wavelength_nm = 0;  ///< 0 = none named
  std::optional<Direction> direction;
  bool expanded = false;  ///< an expanded uncertainty, coverage factor 2
  std::uint8_t rank = 0;  ///< among identifiers: the smaller names the strand better
  bool several_wavelengths = false;
};

/// Case, blanks, underscores and punctuation aside; units and wavelengths in the heading understood:
/// "loss_850_dB", "Dämpfung 850 nm", "IL 1310 AB (dB)", "Length (ft)", "lambda_um".
HeadingMeaning meaning_of_heading(std::string_view heading);

/// The heading says something of a value only in part: a wavelength or a direction, but not of what.
bool is_partial(const HeadingMeaning& meaning);

/// Field names as the person may use them to map columns: "loss_db", "length_m", "strand".
struct NamedField {
  std::string_view name;
  Field field;
  Unit unit;  ///< of the values where the heading names none
};
/// Fields of a table, in the order of its contract.
const std::vector<NamedField>& fields_of(TableKind table);
bool belongs_to(Field field, TableKind table);
std::optional<NamedField> field_by_name(std::string_view name, TableKind table);
/// A field name that any of the tables knows.
bool is_field_name(std::string_view name);

}  // namespace strandbook
