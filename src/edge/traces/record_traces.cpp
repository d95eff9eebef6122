#include "edge/traces/record_traces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "edge/traces/trace_senses.hpp"

namespace strandbook {
namespace {

constexpr double tick_s = 1e-10;          ///< unit of times
constexpr double spacing_tick_s = 1e-14;  ///< of a sample: 100 ps over 10 000 samples
constexpr double usual_index = 1.468;     // common practice, where a record has none
constexpr std::uint16_t darkest_sample = 65535;

/// Valid UTF-8 stays; anything else is read as Latin-1, so that no byte is lost.
std::string shown(const std::string& text) {
  if (valid_utf8(text)) return text;
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80) {
      out += c;
    } else {
      out += static_cast<char>(0xC0 | byte >> 6);
      out += static_cast<char>(0x80 | (byte & 0x3F));
    }
  }
  return out;
}

std::string joined(const std::string& a, const std::string& b) {
  if (a.empty() || b.empty()) return a + b;
  return a + " " + b;
}

TraceIdentity identity_of(const TraceRecord& record) {
  const GeneralParameters& g = record.general;
  TraceIdentity identity;
  identity.cable = shown(g.cable);
  identity.fibre = shown(g.fibre);
  identity.from = shown(g.from);
  identity.to = shown(g.to);
  identity.operator_name = shown(g.operator_name);
  identity.comment = shown(g.comment);
  identity.instrument = shown(
      joined(joined(record.supplier.supplier, record.supplier.mainframe), record.supplier.mainframe_serial));
  if (record.fixed.time_s > 0) identity.taken = Instant{record.fixed.time_s, true, true, false};
  return identity;
}

double index_of(const FixedParameters& fixed, std::vector<std::string>& notes) {
  const double index = fixed.group_index * 1e-5;
  if (index >= 1.3 && index <= 1.6) return index;
  notes.push_back(fmt::format(
      "The record's group index is {:g}, which no fibre has; {:g} was taken. Every length depends on it.",
      index, usual_index));
  return usual_index;
}

double wavelength_of(const TraceRecord& record, std::vector<std::string>& notes) {
  const double tenths = record.fixed.wavelength;
  if (tenths >= 4000) return tenths / 10;
  if (tenths >= 400) {
    notes.push_back(fmt::format(
        "The wavelength field holds {:g}: taken as nanometres, although the form wants tenths of them.",
        tenths));
    return tenths;
  }
  if (record.general.wavelength_nm >= 400) return record.general.wavelength_nm;
  notes.emplace_back("The record names no wavelength that can be.");
  return 0;
}

std::optional<Decibels> backscatter_of(const FixedParameters& fixed, std::vector<std::string>& notes) {
  const double stored = std::abs(static_cast<double>(fixed.backscatter));
  for (const double value : {stored / 10, stored})
    if (value >= 60 && value <= 95) {
      if (value == stored || fixed.backscatter < 0)
        notes.push_back(fmt::format("The backscatter coefficient is stored as {}; it was read as −{:g} dB.",
                                    fixed.backscatter, value));
      return Decibels{-value};
    }
  notes.push_back(
      fmt::format("The backscatter coefficient {} cannot be; without it reflectances are not stated.",
                  fixed.backscatter));
  return std::nullopt;
}

/// The sample step must agree with the range that the record names; where it does so only after a factor of
/// two or ten, the axis is marked.
void check_range(const FixedParameters& fixed, Trace& trace) {
  if (fixed.acquisition_range <= 0) return;
  const double range = distance_m(OneWaySeconds{fixed.acquisition_range * tick_s}, trace.settings.index);
  const double span = trace.step.value * static_cast<double>(trace.level_db.size());
  const double ratio = span / range;
  if (std::abs(ratio - 1) <= 0.01) return;
  for (const double factor : {2.0, 0.5, 10.0, 0.1})
    if (std::abs(ratio / factor - 1) <= 0.01) {
      trace.scale_inferred = true;
      trace.notes.push_back(fmt::format(
          "The samples span {:.1f} m, {:g} times the range the record names. The sample step counts; "
          "the distance scale is inferred.",
          span, factor));
      return;
    }
  trace.notes.push_back(
      fmt::format("The samples span {:.1f} m; the record names a range of {:.1f} m.", span, range));
}

std::vector<StoredEvent> stored_events(const TraceRecord& record, GroupIndex index) {
  std::vector<StoredEvent> stored;
  for (const KeyEvent& row : record.events.rows) {
    StoredEvent event;
    event.number = row.number;
    event.position = {distance_m(OneWaySeconds{row.time * tick_s}, index)};
    event.lead_in = {row.lead_in * 1e-3};
    event.loss = {row.loss * 1e-3};
    if (row.reflectance != 0) event.reflectance = Decibels{row.reflectance * 1e-3};
    event.saturated = !row.code.empty() && row.code[0] == '2';
    event.end_of_fibre = row.code.size() > 1 && (row.code[1] == 'E' || row.code[1] == 'D');
    event.comment = shown(row.comment);
    stored.push_back(std::move(event));
  }
  return stored;
}

/// Writers differ in the sign of the offset: where events are stored, the sign under which they stand on
/// edges of the trace is right.
void settle_origin(const FixedParameters& fixed, Trace& trace) {
  const double offset = distance_m(OneWaySeconds{fixed.acquisition_offset * tick_s}, trace.settings.index);
  const double panel = distance_m(OneWaySeconds{fixed.front_panel_offset * tick_s}, trace.settings.index);
  trace.first = {offset};
  if (panel != 0)
    trace.notes.push_back(
        fmt::format("A front-panel offset of {:.2f} m is stored and was not applied.", panel));
  if (offset == 0) return;
  double score = event_alignment(trace);
  const double as_stored = score;
  trace.first = {-offset};
  const double turned = event_alignment(trace);
  const bool turn = turned > 1.2 * as_stored;
  if (!turn) trace.first = {offset};
  const bool proved = std::max(turned, as_stored) > 1.2 * std::min(turned, as_stored);
  trace.notes.push_back(fmt::format("The first sample stands at {:.2f} m: {}.", trace.first.value,
                                    proved ? "so the stored events meet the edges of the trace"
                                           : "the acquisition offset as it is stored, for want of proof"));
}

void append_levels(const DataPoints& data, std::size_t from, std::size_t count, Trace& trace) {
  std::size_t at = 0;
  bool zero_factor = false;
  for (const ScaleGroup& group : data.groups) {
    const double factor = group.factor == 0 ? 1.0 : group.factor * 1e-3;
    const std::size_t end = at + static_cast<std::size_t>(group.points);
    zero_factor = zero_factor || group.factor == 0;
    for (std::size_t i = std::max(at, from); i < std::min(end, from + count); ++i)
      trace.level_db.push_back(-1e-3 * factor * data.samples[i]);
    at = end;
    if (end >= from) trace.floor_db = std::max(trace.floor_db, -1e-3 * factor * darkest_sample);
  }
  trace.ceiling_db = 0;
  if (zero_factor) trace.notes.emplace_back("A scale factor of 0 was taken as 1.");
}

void settle_sign(Trace& trace) {
  if (!looks_inverted(trace.level_db)) return;
  for (double& level : trace.level_db) level = -level;
  trace.ceiling_db = -trace.floor_db;
  trace.floor_db = 0;
  trace.notes.emplace_back(
      "The samples rise along the fibre, which no fibre does: they were read as inverted.");
}

}  // namespace

std::vector<Trace> traces_of(const TraceRecord& record) {
  std::vector<Trace> traces;
  std::vector<std::string> notes;
  const GroupIndex index{index_of(record.fixed, notes)};
  TraceSettings settings;
  settings.wavelength = {wavelength_of(record, notes)};
  settings.index = index;
  settings.backscatter = backscatter_of(record.fixed, notes);
  settings.averages = record.fixed.averages;
  settings.averaging_s = record.fixed.averaging_time * 0.1;
  if (record.general.user_offset > 0)
    settings.launch = Metres{distance_m(OneWaySeconds{record.general.user_offset * tick_s}, index)};
  std::size_t at = 0;
  for (const PulseEntry& pulse : record.fixed.pulses) {
    const std::size_t left = record.data.samples.size() - at;
    const bool last = &pulse == &record.fixed.pulses.back();
    const auto told = static_cast<std::size_t>(std::max(pulse.points, std::int32_t{0}));
    const std::size_t count = last && record.fixed.pulses.size() == 1 ? left : std::min(told, left);
    Trace trace;
    trace.identity = identity_of(record);
    trace.settings = settings;
    trace.settings.pulse_ns = pulse.width_ns;
    trace.notes = notes;
    trace.step = {distance_m(OneWaySeconds{pulse.spacing * spacing_tick_s}, index)};
    append_levels(record.data, at, count, trace);
    at += count;
    if (trace.level_db.size() < 16 || !(trace.step.value >= 1e-3 && trace.step.value <= 1e3)) continue;
    trace.stored = stored_events(record, index);
    settle_sign(trace);
    settle_origin(record.fixed, trace);
    check_range(record.fixed, trace);
    traces.push_back(std::move(trace));
  }
  return traces;
}

}  // namespace strandbook
