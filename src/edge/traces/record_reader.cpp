// Blocks of a trace record to its fields.

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <optional>

#include "edge/traces/record_bytes.hpp"
#include "edge/traces/record_map.hpp"

namespace strandbook {
namespace {

GeneralParameters general_from(BlockReader& in, RecordVersion version) {
  GeneralParameters g;
  g.language = in.code(2);
  g.cable = in.text();
  g.fibre = in.text();
  if (version == RecordVersion::two) g.fibre_type = in.i16();
  g.wavelength_nm = in.i16();
  g.from = in.text();
  g.to = in.text();
  g.cable_code = in.text();
  g.data_state = in.code(2);
  g.user_offset = in.i32();
  if (version == RecordVersion::two) g.user_offset_distance = in.i32();
  g.operator_name = in.text();
  g.comment = in.text();
  return g;
}

SupplierParameters supplier_from(BlockReader& in) {
  SupplierParameters s;
  for (std::string* field :
       {&s.supplier, &s.mainframe, &s.mainframe_serial, &s.module, &s.module_serial, &s.software, &s.other})
    *field = in.text();
  return s;
}

/// All widths, then all spacings, then all counts.
std::vector<PulseEntry> pulses_from(BlockReader& in) {
  const std::int16_t count = in.i16();
  if (count < 1 || static_cast<std::size_t>(count) > most_pulses) return {};
  std::vector<PulseEntry> pulses(static_cast<std::size_t>(count));
  for (PulseEntry& pulse : pulses) pulse.width_ns = in.u16();
  for (PulseEntry& pulse : pulses) pulse.spacing = in.i32();
  for (PulseEntry& pulse : pulses) pulse.points = in.i32();
  return pulses;
}

FixedParameters fixed_from(BlockReader& in, RecordVersion version) {
  const bool two = version == RecordVersion::two;
  FixedParameters f;
  f.time_s = in.u32();
  f.distance_unit = in.code(2);
  f.wavelength = in.i16();
  f.acquisition_offset = in.i32();
  if (two) f.acquisition_offset_distance = in.i32();
  f.pulses = pulses_from(in);
  if (f.pulses.empty()) return f;
  f.group_index = in.i32();
  f.backscatter = in.i16();
  f.averages = in.i32();
  if (two) f.averaging_time = in.u16();
  f.acquisition_range = in.i32();
  if (two) f.acquisition_range_distance = in.i32();
  f.front_panel_offset = in.i32();
  f.noise_floor = in.u16();
  f.noise_floor_scale = in.i16();
  f.first_point_offset = in.u16();
  f.loss_threshold = in.u16();
  f.reflectance_threshold = in.u16();
  f.end_threshold = in.u16();
  if (!two) return f;
  f.trace_type = in.code(2);
  for (std::int32_t& corner : f.window) corner = in.i32();
  return f;
}

KeyEvent event_from(BlockReader& in, RecordVersion version) {
  KeyEvent event;
  event.number = in.i16();
  event.time = in.i32();
  event.lead_in = in.i16();
  event.loss = in.i16();
  event.reflectance = in.i32();
  event.code = in.code(6);
  event.technique = in.code(2);
  if (version == RecordVersion::two)
    for (std::int32_t& mark : event.marks) mark = in.i32();
  event.comment = in.text();
  return event;
}

KeyEvents events_from(BlockReader& in, RecordVersion version) {
  KeyEvents events;
  const std::int16_t count = in.i16();
  const auto most = static_cast<std::int16_t>(most_events);
  for (std::int16_t i = 0; i < std::min(count, most); ++i) {
    KeyEvent event = event_from(in, version);
    if (in.short_of_bytes()) return events;
    events.rows.push_back(std::move(event));
  }
  events.end_to_end_loss = in.i32();
  for (std::int32_t& mark : events.loss_marks) mark = in.i32();
  events.return_loss = in.u16();
  for (std::int32_t& mark : events.return_loss_marks) mark = in.i32();
  return events;
}

/// As many samples as both the block and its own count hold.
DataPoints data_from(BlockReader& in) {
  DataPoints data;
  in.i32();  // the total is told again by the groups
  const std::int16_t groups = in.i16();
  for (std::int16_t g = 0; g < groups && in.left() >= 6; ++g) {
    ScaleGroup group{in.i32(), in.u16()};
    const std::size_t room = std::min(in.left() / 2, most_points - data.samples.size());
    const auto points = static_cast<std::size_t>(std::max(group.points, std::int32_t{0}));
    const std::size_t taken = std::min(points, room);
    data.samples.reserve(data.samples.size() + taken);
    for (std::size_t i = 0; i < taken; ++i) data.samples.push_back(in.u16());
    group.points = static_cast<std::int32_t>(taken);
    data.groups.push_back(group);
    if (taken < points) break;
  }
  return data;
}

/// Reads the blocks that the map found, each once.
class RecordReading {
 public:
  RecordReading(const std::string& file, TraceRecord& record) : file_(file), record_(record) {}

  void take(const FoundBlock& block) {
    record_.block_order.push_back(block.name);
    const bool again = seen_[block.name]++ > 0;
    if (again)
      warn(block.name, "the same block again", "each block once",
           "The first counts; this one is kept as it is.");
    const auto known = again ? readers_.end() : readers_.find(block.name);
    if (known == readers_.end()) {
      record_.opaque.push_back({block.name, block.revision, std::string(block.bytes)});
      return;
    }
    // A map may carry blocks of mixed revision, each with the fields of its own.
    const RecordVersion version = record_.version == RecordVersion::one || block.revision < 200
                                      ? RecordVersion::one
                                      : RecordVersion::two;
    BlockReader in(block.bytes);
    if (record_.version == RecordVersion::two) in.text();
    known->second(in, version);
    tell_state(block.name, in);
  }

  bool seen(const std::string& name) const { return seen_.count(name) > 0; }
  const std::optional<std::uint16_t>& checksum() const { return checksum_; }
  void warn(const std::string& block, std::string found, std::string wanted, std::string advice) {
    record_.warnings.push_back(
        record_problem(file_, block, std::move(found), std::move(wanted), std::move(advice)));
  }

 private:
  void tell_state(const std::string& name, const BlockReader& in) {
    if (in.unended_text())
      warn(name, "a text without its closing zero byte", "every text closed",
           "It was read to the block's end.");
    if (in.short_of_bytes())
      warn(name, "a block that ends too early", "all its fields", "What is missing was taken as zero.");
    else if (in.left() > 0 && name != "DataPts")
      warn(name, fmt::format("{} surplus bytes at the block's end", in.left()), "the block's end",
           "See that its fields make sense: a text may have been written without its zero byte.");
  }

  using Read = std::function<void(BlockReader&, RecordVersion)>;
  const std::string& file_;
  TraceRecord& record_;
  std::map<std::string, int> seen_;
  std::optional<std::uint16_t> checksum_;
  const std::map<std::string, Read> readers_ = {
      {"GenParams", [this](BlockReader& in, RecordVersion v) { record_.general = general_from(in, v); }},
      {"SupParams", [this](BlockReader& in, RecordVersion) { record_.supplier = supplier_from(in); }},
      {"FxdParams", [this](BlockReader& in, RecordVersion v) { record_.fixed = fixed_from(in, v); }},
      {"KeyEvents",
       [this](BlockReader& in, RecordVersion v) {
         record_.events = events_from(in, v);
         record_.has_events = true;
       }},
      {"DataPts", [this](BlockReader& in, RecordVersion) { record_.data = data_from(in); }},
      {"Cksum", [this](BlockReader& in, RecordVersion) { checksum_ = in.u16(); }},
  };
};

void check_checksum(std::string_view bytes, const RecordMap& map, RecordReading& reading) {
  const auto block = std::find_if(map.blocks.begin(), map.blocks.end(),
                                  [](const FoundBlock& b) { return b.name == "Cksum"; });
  if (block == map.blocks.end() || !reading.checksum()) {
    reading.warn("Cksum", "no checksum", "a checksum block at the end",
                 "Damage in the file would not be seen.");
    return;
  }
  const std::size_t name = map.version == RecordVersion::two ? block->name.size() + 1 : 0;
  const std::size_t at = block->start + name;
  if (at + 2 > bytes.size()) return;
  std::string rest(bytes.substr(0, at));
  rest += bytes.substr(at + 2);
  if (block->start + block->bytes.size() < bytes.size())
    reading.warn("Cksum", "bytes after the checksum", "the checksum last", "They were counted in.");
  const std::uint16_t own = record_checksum(rest);
  if (own != *reading.checksum())
    reading.warn("Cksum", fmt::format("a checksum of {:04X}", *reading.checksum()),
                 fmt::format("{:04X}, computed over the file", own),
                 "Writers differ in how they compute it; if the file came by a doubtful way, get it again.");
}

Result<Done> check_required(const std::string& file, const TraceRecord& record, RecordReading& reading) {
  for (const char* name : {"FxdParams", "DataPts"})
    if (!reading.seen(name))
      return record_problem(file, name, "no such block", "a record that holds it",
                            "Without it there is no trace. Export the file again.");
  if (record.fixed.pulses.empty())
    return record_problem(file, "FxdParams", "no pulse width that can be",
                          fmt::format("1 to {} pulse widths", most_pulses),
                          "The file is damaged or of another form. Export it again.");
  if (record.data.samples.empty())
    return record_problem(file, "DataPts", "no samples", "the points of the trace", "Export the file again.");
  for (const char* name : {"GenParams", "SupParams"})
    if (!reading.seen(name))
      reading.warn(name, "no such block", "a record that holds it", "What it would say is not known.");
  const int nominal = record.general.wavelength_nm;
  if (reading.seen("GenParams") && nominal != 0 && (nominal < 600 || nominal > 1700))
    reading.warn(
        "GenParams", fmt::format("a nominal wavelength of {} nm", nominal), "600 to 1700 nm",
        "A code may stand there with a zero byte, or a text without: see that names and places make sense.");
  std::int64_t wanted = 0;
  for (const PulseEntry& pulse : record.fixed.pulses) wanted += std::max(pulse.points, std::int32_t{0});
  if (wanted != static_cast<std::int64_t>(record.data.samples.size()))
    reading.warn("DataPts", fmt::format("{} samples", record.data.samples.size()),
                 fmt::format("{}, as the fixed parameters say", wanted), "What is there was read.");
  return Done{};
}

}  // namespace

std::uint16_t record_checksum(std::string_view bytes) {
  std::uint32_t crc = 0xFFFF;
  for (const char byte : bytes) {
    crc ^= static_cast<std::uint32_t>(static_cast<unsigned char>(byte)) << 8;
    for (int bit = 0; bit < 8; ++bit) crc = (crc & 0x8000U) != 0 ? (crc << 1) ^ 0x1021U : crc << 1;
    crc &= 0xFFFFU;
  }
  return static_cast<std::uint16_t>(crc);
}

Result<TraceRecord> read_trace_record(std::string_view bytes, const std::string& file) {
  TraceRecord record;
  const Result<RecordMap> map = read_record_map(bytes, file, record.warnings);
  if (!map) return map.problem();
  record.version = map->version;
  record.revision = map->revision;
  RecordReading reading(file, record);
  for (const FoundBlock& block : map->blocks) reading.take(block);
  const Result<Done> sound = check_required(file, record, reading);
  if (!sound) return sound.problem();
  check_checksum(bytes, *map, reading);
  return record;
}

}  // namespace strandbook
