#pragma once
// The open trace record of the trade (Telcordia SR-4731, versions 1 and 2), field by field as its bytes hold
// it. The knowledge of the form awaits checking against the purchased document: docs/traces.md.

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"

namespace strandbook {

enum class RecordVersion { one = 1, two = 2 };

/// A block that is not interpreted: any name, kept byte for byte.
struct OpaqueBlock {
  std::string name;
  std::uint16_t revision = 0;
  std::string bytes;  ///< all of it, the name at its start (version 2) included
};

struct GeneralParameters {
  std::string language = "EN";  ///< two characters
  std::string cable;
  std::string fibre;
  std::int16_t fibre_type = 0;     ///< ITU-T G number: 652; version 2
  std::int16_t wavelength_nm = 0;  ///< nominal
  std::string from;                ///< originating location
  std::string to;                  ///< terminating location
  std::string cable_code;
  std::string data_state = "OT";          ///< two characters: BC, CC, RC, OT
  std::int32_t user_offset = 0;           ///< one-way, 100 ps
  std::int32_t user_offset_distance = 0;  ///< version 2
  std::string operator_name;
  std::string comment;
};

struct SupplierParameters {
  std::string supplier;
  std::string mainframe;
  std::string mainframe_serial;
  std::string module;
  std::string module_serial;
  std::string software;
  std::string other;
};

/// Pulse width, spacing of samples and their number; one of these for each pulse width of the record.
struct PulseEntry {
  std::uint16_t width_ns = 0;
  std::int32_t spacing = 0;  ///< one-way time of 10 000 samples, 100 ps: 1e-14 s a sample
  std::int32_t points = 0;
};

struct FixedParameters {
  std::uint32_t time_s = 0;                      ///< since 1970-01-01; many writers put local time
  std::string distance_unit = "mt";              ///< two characters; a label only
  std::int16_t wavelength = 0;                   ///< 0.1 nm
  std::int32_t acquisition_offset = 0;           ///< one-way, 100 ps
  std::int32_t acquisition_offset_distance = 0;  ///< version 2
  std::vector<PulseEntry> pulses;
  std::int32_t group_index = 0;  ///< 1e-5
  std::int16_t backscatter = 0;  ///< −0.1 dB for 1 ns
  std::int32_t averages = 0;
  std::uint16_t averaging_time = 0;             ///< 0.1 s; version 2
  std::int32_t acquisition_range = 0;           ///< one-way, 100 ps
  std::int32_t acquisition_range_distance = 0;  ///< version 2
  std::int32_t front_panel_offset = 0;          ///< one-way, 100 ps
  std::uint16_t noise_floor = 0;                ///< −0.001 dB
  std::int16_t noise_floor_scale = 0;
  std::uint16_t first_point_offset = 0;     ///< −0.001 dB
  std::uint16_t loss_threshold = 0;         ///< 0.001 dB
  std::uint16_t reflectance_threshold = 0;  ///< −0.001 dB
  std::uint16_t end_threshold = 0;          ///< 0.001 dB
  std::string trace_type = "ST";            ///< two characters; version 2
  std::array<std::int32_t, 4> window{};     ///< version 2
};

struct KeyEvent {
  std::int16_t number = 0;
  std::int32_t time = 0;                ///< one-way, 100 ps, of its start
  std::int16_t lead_in = 0;             ///< 0.001 dB/km
  std::int16_t loss = 0;                ///< 0.001 dB; negative is a gain
  std::int32_t reflectance = 0;         ///< 0.001 dB; 0 = none
  std::string code = "0F9999";          ///< six characters
  std::string technique = "LS";         ///< two characters: LS least squares, 2P two points
  std::array<std::int32_t, 5> marks{};  ///< version 2; one-way, 100 ps
  std::string comment;
};

struct KeyEvents {
  std::vector<KeyEvent> rows;
  std::int32_t end_to_end_loss = 0;  ///< 0.001 dB
  std::array<std::int32_t, 2> loss_marks{};
  std::uint16_t return_loss = 0;  ///< 0.001 dB
  std::array<std::int32_t, 2> return_loss_marks{};
};

struct ScaleGroup {
  std::int32_t points = 0;
  std::uint16_t factor = 1000;  ///< thousandths
};

struct DataPoints {
  std::vector<ScaleGroup> groups;
  std::vector<std::uint16_t> samples;  ///< level = −(sample · factor / 1000) · 0.001 dB
};

struct TraceRecord {
  RecordVersion version = RecordVersion::two;
  std::uint16_t revision = 200;
  GeneralParameters general;
  SupplierParameters supplier;
  FixedParameters fixed;
  KeyEvents events;
  bool has_events = false;
  DataPoints data;
  std::vector<OpaqueBlock> opaque;       ///< link parameters and every name that is not known
  std::vector<std::string> block_order;  ///< names as the map lists them; empty = the usual order
  std::vector<Problem> warnings;         ///< what was amiss and how it was taken
};

/// Caps before anything is allocated.
inline constexpr std::size_t most_points = std::size_t{16} << 20;
inline constexpr std::size_t most_text = std::size_t{64} << 10;
inline constexpr std::size_t most_blocks = 256;
inline constexpr std::size_t most_events = 8192;
inline constexpr std::size_t most_pulses = 64;

/// Whether bytes begin like a trace record of either version.
bool is_trace_record(std::string_view bytes);
/// Reads a record. Lenient where writers differ, with a warning for each liberty; a Problem only where there
/// is no trace to be had.
Result<TraceRecord> read_trace_record(std::string_view bytes, const std::string& file);
/// The record's bytes with map and checksum made anew; opaque blocks as they were.
std::string write_trace_record(const TraceRecord& record);
/// CRC-16 with polynomial 0x1021 and initial value 0xFFFF, unreflected: 0x29B1 for "123456789".
std::uint16_t record_checksum(std::string_view bytes);

}  // namespace strandbook
