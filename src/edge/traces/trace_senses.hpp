#pragma once
// What the samples of a trace prove about a doubtful record.

#include <string_view>
#include <vector>

#include "domain/traces/trace.hpp"

namespace strandbook {

/// Whether light grows along the stretches that look like fibre, so that the sign of the samples is turned.
bool looks_inverted(const std::vector<double>& level_db);
/// How sharply the level changes where the stored events stand, dB summed; 0 where none are stored.
double event_alignment(const Trace& trace);
bool valid_utf8(std::string_view text);

}  // namespace strandbook
