#include <algorithm>
#include <map>

#include "edge/traces/record_bytes.hpp"
#include "edge/traces/trace_record.hpp"

namespace strandbook {
namespace {

void write_general(BlockWriter& out, const GeneralParameters& g, RecordVersion version) {
  const bool two = version == RecordVersion::two;
  out.code(g.language, 2).text(g.cable).text(g.fibre);
  if (two) out.i16(g.fibre_type);
  out.i16(g.wavelength_nm).text(g.from).text(g.to).text(g.cable_code).code(g.data_state, 2);
  out.i32(g.user_offset);
  if (two) out.i32(g.user_offset_distance);
  out.text(g.operator_name).text(g.comment);
}

void write_supplier(BlockWriter& out, const SupplierParameters& s) {
  out.text(s.supplier).text(s.mainframe).text(s.mainframe_serial).text(s.module);
  out.text(s.module_serial).text(s.software).text(s.other);
}

void write_fixed(BlockWriter& out, const FixedParameters& f, RecordVersion version) {
  const bool two = version == RecordVersion::two;
  out.u32(f.time_s).code(f.distance_unit, 2).i16(f.wavelength).i32(f.acquisition_offset);
  if (two) out.i32(f.acquisition_offset_distance);
  out.i16(static_cast<std::int32_t>(f.pulses.size()));
  for (const PulseEntry& pulse : f.pulses) out.u16(pulse.width_ns);
  for (const PulseEntry& pulse : f.pulses) out.i32(pulse.spacing);
  for (const PulseEntry& pulse : f.pulses) out.i32(pulse.points);
  out.i32(f.group_index).i16(f.backscatter).i32(f.averages);
  if (two) out.u16(f.averaging_time);
  out.i32(f.acquisition_range);
  if (two) out.i32(f.acquisition_range_distance);
  out.i32(f.front_panel_offset).u16(f.noise_floor).i16(f.noise_floor_scale).u16(f.first_point_offset);
  out.u16(f.loss_threshold).u16(f.reflectance_threshold).u16(f.end_threshold);
  if (!two) return;
  out.code(f.trace_type, 2);
  for (const std::int32_t corner : f.window) out.i32(corner);
}

void write_events(BlockWriter& out, const KeyEvents& events, RecordVersion version) {
  out.i16(static_cast<std::int32_t>(events.rows.size()));
  for (const KeyEvent& event : events.rows) {
    out.i16(event.number).i32(event.time).i16(event.lead_in).i16(event.loss).i32(event.reflectance);
    out.code(event.code, 6).code(event.technique, 2);
    if (version == RecordVersion::two)
      for (const std::int32_t mark : event.marks) out.i32(mark);
    out.text(event.comment);
  }
  out.i32(events.end_to_end_loss).i32(events.loss_marks[0]).i32(events.loss_marks[1]);
  out.u16(events.return_loss).i32(events.return_loss_marks[0]).i32(events.return_loss_marks[1]);
}

void write_data(BlockWriter& out, const DataPoints& data) {
  out.i32(static_cast<std::int32_t>(data.samples.size())).i16(static_cast<std::int32_t>(data.groups.size()));
  std::size_t at = 0;
  for (const ScaleGroup& group : data.groups) {
    out.i32(group.points).u16(group.factor);
    const std::size_t end =
        std::min(at + static_cast<std::size_t>(std::max(group.points, 0)), data.samples.size());
    for (; at < end; ++at) out.u16(data.samples[at]);
  }
}

constexpr const char* known_blocks[] = {"GenParams", "SupParams", "FxdParams", "KeyEvents", "DataPts"};

std::vector<std::string> order_of(const TraceRecord& record) {
  std::vector<std::string> order = record.block_order;
  if (order.empty()) {
    order.assign(std::begin(known_blocks), std::end(known_blocks));
    for (const OpaqueBlock& block : record.opaque) order.push_back(block.name);
  }
  order.erase(std::remove(order.begin(), order.end(), "Cksum"), order.end());
  order.emplace_back("Cksum");
  if (!record.has_events) order.erase(std::remove(order.begin(), order.end(), "KeyEvents"), order.end());
  return order;
}

/// Content of a block that is known; the checksum is filled in when the file stands.
std::string block_content(const TraceRecord& record, const std::string& name) {
  BlockWriter out;
  if (record.version == RecordVersion::two) out.text(name);
  if (name == "GenParams") write_general(out, record.general, record.version);
  if (name == "SupParams") write_supplier(out, record.supplier);
  if (name == "FxdParams") write_fixed(out, record.fixed, record.version);
  if (name == "KeyEvents") write_events(out, record.events, record.version);
  if (name == "DataPts") write_data(out, record.data);
  if (name == "Cksum") out.u16(0);
  return out.bytes();
}

bool is_known(const std::string& name) {
  return name == "Cksum" ||
         std::find(std::begin(known_blocks), std::end(known_blocks), name) != std::end(known_blocks);
}

std::vector<OpaqueBlock> blocks_of(const TraceRecord& record) {
  std::vector<OpaqueBlock> blocks;
  std::map<std::string, bool> written;
  std::vector<bool> used(record.opaque.size());
  const auto own = static_cast<std::uint16_t>(record.version == RecordVersion::two ? 200 : 100);
  for (const std::string& name : order_of(record)) {
    if (is_known(name) && !written[name]) {
      written[name] = true;
      blocks.push_back({name, own, block_content(record, name)});
      continue;
    }
    for (std::size_t i = 0; i < record.opaque.size(); ++i) {
      if (used[i] || record.opaque[i].name != name) continue;
      used[i] = true;
      blocks.push_back(record.opaque[i]);
      break;
    }
  }
  return blocks;
}

}  // namespace

std::string write_trace_record(const TraceRecord& record) {
  const std::vector<OpaqueBlock> blocks = blocks_of(record);
  const bool two = record.version == RecordVersion::two;
  BlockWriter entries;
  for (const OpaqueBlock& block : blocks)
    entries.text(block.name).u16(block.revision).i32(static_cast<std::int32_t>(block.bytes.size()));
  BlockWriter map;
  if (two) map.text("Map");
  const std::size_t size = map.bytes().size() + 8 + entries.bytes().size();
  map.u16(record.revision)
      .i32(static_cast<std::int32_t>(size))
      .i16(static_cast<std::int32_t>(blocks.size() + 1));
  std::string bytes = map.bytes() + entries.bytes();
  for (const OpaqueBlock& block : blocks) bytes += block.bytes;
  const std::string_view sealed = std::string_view(bytes).substr(0, bytes.size() - 2);
  BlockWriter seal;
  seal.u16(record_checksum(sealed));
  bytes.replace(bytes.size() - 2, 2, seal.bytes());
  return bytes;
}

}  // namespace strandbook
