#pragma once
// From marks and lines to events with losses, reflectances and uncertainties.

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {

/// Everything but ghosts: what stands on the fibre, clusters joined, the end last where it was found.
void state_events(const Trace& trace, const TraceGround& ground, TraceAnalysis& out);
/// Peaks that an echo explains are marked as ghosts; `beyond` are peaks behind the end, all of them echoes.
void mark_ghosts(const Trace& trace, const TraceGround& ground, const std::vector<Candidate>& beyond,
                 std::optional<double> panel_reflectance_db, TraceAnalysis& out);
/// Light that comes back from between two samples, as return loss.
void state_return_loss(const Trace& trace, const TraceGround& ground, TraceAnalysis& out);
/// R = B + 10·log10(τ/ns) + 10·log10(10^(H/5) − 1), dB, H the height of the peak in one-way dB.
double reflectance_db(double backscatter_db, double pulse_ns, double height_db);

}  // namespace strandbook
