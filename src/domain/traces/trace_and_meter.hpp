#pragma once
// What the trace adds up to, held against the insertion loss of the power meter. The meter decides; the trace
// explains.

#include <optional>
#include <string>
#include <string_view>

#include "domain/units/units.hpp"

namespace strandbook {

struct MeterQuestion {
  Decibels meter_loss;
  std::optional<Decibels> limit;    ///< of the meter's loss
  std::optional<Decibels> trace_a;  ///< sum of the link from A
  std::optional<Decibels> trace_b;
  int unseen_connections = 0;      ///< end connections that the traces cannot show
  Decibels connection_least{0.3};  ///< what one connection usually loses (common practice)
  Decibels connection_most{0.5};
  Decibels tolerance{0.25};  ///< wanted agreement
};

enum class Agreement {
  agree,
  unseen_connection,   ///< the difference is what an end connection loses that the trace cannot show
  suspect_connection,  ///< the same, and the meter's loss fails: that connection is the first to look at
  contradict,
  no_trace,
};
std::string_view text_of(Agreement agreement);

struct MeterAgreement {
  Agreement agreement = Agreement::no_trace;
  std::optional<Decibels> trace_mean;
  std::optional<Decibels> difference;  ///< meter − trace
  bool one_way = false;
  std::string words;   ///< for the technician
  std::string advice;  ///< empty where nothing is to be done
};

MeterAgreement compare_with_meter(const MeterQuestion& question);

/// Length by trace against the schedule: within `tolerance_share` of it and two metres, or words that say how
/// far off. Excess fibre in the cable and the group index both lie in the difference.
std::string compare_lengths(Metres traced, Metres scheduled, double group_index,
                            double tolerance_share = 0.05);

}  // namespace strandbook
