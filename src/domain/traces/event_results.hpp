#pragma once
// From marks and lines to events with losses, reflectances and uncertainties.

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {

/// Everything but ghosts: what stands on the fibre, clusters joined, the end last where it was found.
void state_events(const Trace& trace, const TraceGround& ground, TraceAnalysis& out);
/// Is what follows a section the end of the fibre, whose place is known and not its loss?
enum class Behind { fibre, end };
/// Too little fibre between two marks, `i` and the next, to tell them apart.
bool run_together(const TraceGround& ground, std::size_t i, Behind behind);
/// What is lost from one section to another at `at`, in samples; empty where one of them tells no level.
std::optional<Measured> loss_between(const TraceGround& ground, const FittedSection& before,
                                     const FittedSection& after, double at);
/// Light of the fibre at the panel, by the first section or, before there is one, by the first light.
double start_power(const Trace& trace, const TraceGround& ground);
/// Light that comes back from between two samples, as return loss.
void state_return_loss(const Trace& trace, const TraceGround& ground, TraceAnalysis& out);
/// R = B + 10·log10(τ/ns) + 10·log10(10^(H/5) − 1), dB, H the height of the peak in one-way dB.
double reflectance_db(double backscatter_db, double pulse_ns, double height_db);

}  // namespace strandbook
