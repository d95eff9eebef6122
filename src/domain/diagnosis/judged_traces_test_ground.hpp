#pragma once
// A small job with traces, for tests.

#include <string>
#include <vector>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/diagnosis/judged_traces.hpp"

namespace strandbook {

/// A job of strands U1, U2, ... of one link, 900 m long, with a meter's loss each against 2.0 dB.
inline Assessment job_of(const std::vector<double>& meter_losses) {
  Assessment all;
  Limit limit;
  limit.value = {2.0};
  all.limits.push_back(limit);
  for (std::size_t i = 0; i < meter_losses.size(); ++i) {
    ScheduledStrand strand;
    strand.link = "U";
    strand.strand = "U" + std::to_string(i + 1);
    strand.fibre = FibreCategory::os2;
    strand.length = Metres{900};
    all.schedule.push_back(strand);
    JudgedTest test;
    test.strand = static_cast<std::uint32_t>(i);
    test.wavelength = {1310};
    test.loss = {meter_losses[i]};
    test.has_loss = true;
    test.limit = 0;
    test.outcome = test.loss > limit.value ? Outcome::fail : Outcome::pass;
    test.standard_uncertainty = {0.05};
    all.tests.push_back(test);
  }
  return all;
}

struct Cords {
  bool launch = true;
  bool receive = true;
};

inline HeldTrace trace_of(Direction direction, double sum_db, Cords cords) {
  HeldTrace trace;
  trace.direction = direction;
  trace.wavelength = {1310};
  trace.pulse_ns = 30;
  trace.step = {0.5};
  trace.detectable = {0.05};
  trace.seen.length = {900};
  trace.seen.loss = Measured{sum_db, 0.02};
  trace.seen.near_end_measured = cords.launch;
  trace.seen.far_end_measured = cords.receive;
  return trace;
}

inline void put(Assessment& all, std::uint32_t strand, HeldTrace trace) {
  all.traces.push_back(std::move(trace));
  all.trace_strands.push_back(strand);
}

inline std::vector<std::string> kinds_in(const Assessment& all, const TraceDemands& demands) {
  Suspects found;
  detect_traces(all, demands, found);
  std::vector<std::string> kinds;
  for (const Finding& finding : found.facts) kinds.push_back(finding.kind);
  return kinds;
}

inline LinkEvent splice_at(double metres, double loss_db) {
  LinkEvent event;
  event.kind = loss_db < 0 ? EventKind::gain : EventKind::loss;
  event.position = {metres};
  event.until = {metres + 5};
  event.loss = Measured{loss_db, 0.005};
  return event;
}

}  // namespace strandbook
