#pragma once
// A small sound record, made by hand: 150 m launch cord, a connector, 200 m, a connector, end at 450 m.

#include <algorithm>
#include <cmath>
#include <string>

#include "domain/traces/optical_time.hpp"
#include "edge/traces/trace_record.hpp"

namespace strandbook::test {

inline constexpr double record_index = 1.468;
inline constexpr double record_step_m = 0.5;

inline std::int32_t ticks_of_metres(double metres) {
  return static_cast<std::int32_t>(std::llround(metres * record_index / light_speed / 1e-10));
}

/// Level, dB below the start, of the noiseless sample trace.
inline double sample_loss_db(double metres) {
  double loss = 0.00035 * std::max(metres, 0.0);
  for (const double joint : {150.0, 350.0}) {
    if (metres >= joint) loss += 0.3;
    if (metres >= joint && metres < joint + 3) loss -= 4;
  }
  if (metres >= 450) loss += 20;
  return loss;
}

/// `first_m`: where the first sample stands; stored as acquisition offset.
inline TraceRecord sample_record(RecordVersion version = RecordVersion::two, double first_m = 0) {
  TraceRecord record;
  record.version = version;
  record.revision = version == RecordVersion::two ? 200 : 110;
  record.general.cable = "NK-07";
  record.general.fibre = "F12";
  record.general.from = "Hall A";
  record.general.to = "Hall B";
  record.general.wavelength_nm = 1310;
  record.general.user_offset = ticks_of_metres(150);
  record.general.fibre_type = version == RecordVersion::two ? std::int16_t{652} : std::int16_t{0};
  record.supplier.supplier = "Test bench";
  record.supplier.mainframe_serial = "0042";
  record.fixed.time_s = 1'750'000'000;
  record.fixed.wavelength = 13102;
  record.fixed.acquisition_offset = ticks_of_metres(first_m);
  const int points = 1200;
  const auto spacing =
      static_cast<std::int32_t>(std::llround(record_step_m * record_index / light_speed / 1e-14));
  record.fixed.pulses = {{30, spacing, points}};
  record.fixed.group_index = 146800;
  record.fixed.backscatter = 800;
  record.fixed.averages = 16384;
  record.fixed.acquisition_range = ticks_of_metres(points * record_step_m);
  for (const double at : {150.0, 350.0, 450.0}) {
    KeyEvent event;
    event.number = static_cast<std::int16_t>(record.events.rows.size() + 1);
    event.time = ticks_of_metres(at);
    event.loss = 300;
    event.reflectance = -45000;
    event.code = at == 450 ? "1E9999" : "1F9999";
    record.events.rows.push_back(event);
  }
  record.has_events = true;
  record.data.groups = {{points, 1000}};
  for (int i = 0; i < points; ++i)
    record.data.samples.push_back(
        static_cast<std::uint16_t>(std::lround(1000 * (10 + sample_loss_db(first_m + i * record_step_m)))));
  return record;
}

}  // namespace strandbook::test
