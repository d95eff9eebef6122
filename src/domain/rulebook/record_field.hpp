#pragma once
// What an owner may want recorded beside a result: a closed list, so that a pack can be checked for each.

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

namespace strandbook {

enum class RecordField {
  project,
  owner,
  installation_date,
  circuit_id,
  cable_id,
  tube_id,
  strand_id,
  strand_colour,
  both_ends,     ///< building, room, panel and port, or test place
  device_names,  ///< what stands at both ends, as the plan names it
  direction,
  fibre_type,
  connector_types,
  cable_type,
  reel_number,
  designed_length,
  allowed_length,
  measured_length,
  connections,  ///< mated pairs
  splices,
  splice_losses,
  polarity,
  reference_method,
  reference_value,
  reference_time,
  test_cords,        ///< serial, length, grade
  launch_condition,  ///< mandrel, launch kind
  source_wavelength,
  meter_wavelength,
  instrument_maker,
  instrument_model,
  instrument_serial,
  instrument_software,
  calibration_date,
  received_power,
  loss,
  mean_loss,  ///< of both directions
  return_loss,
  limit,  ///< with its sum
  margin,
  uncertainty,
  outcome,
  rule,  ///< the criteria of the outcome
  standard_edition,
  trace_index,
  trace_pulse,
  trace_range,
  trace_averages,
  trace_threshold,
  trace_backscatter,
  trace_plot,  ///< loss over distance, with cursor marks
  launch_cord_lengths,
  trace_events,  ///< both ways, and their means
  closure_shut,
  end_faces,
  temperature,
  crew_names,
  date_time,
  attempt,
  action,        ///< what was done between two attempts
  original_file  ///< its name and checksum
};

inline constexpr std::size_t record_field_count = static_cast<std::size_t>(RecordField::original_file) + 1;

/// Every field, in the order of the list.
constexpr std::array<RecordField, record_field_count> every_record_field() {
  std::array<RecordField, record_field_count> fields{};
  for (std::size_t i = 0; i < record_field_count; ++i) fields[i] = static_cast<RecordField>(i);
  return fields;
}

std::string_view text_of(RecordField field);  // "cable id", "limit with its sum", ...
std::optional<RecordField> parse_record_field(std::string_view text);

}  // namespace strandbook
