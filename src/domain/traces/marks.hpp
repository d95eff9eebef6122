#pragma once
// From candidates to marks whose edges and sections are fitted.

#include "domain/traces/analysis_ground.hpp"

namespace strandbook {

/// Deviations that a step must be worth to be told.
inline constexpr double step_threshold = 4.6;

/// Marks by position, nothing fitted yet.
std::vector<Mark> marks_of(const std::vector<Candidate>& candidates);
/// Steps in each clear stretch between peaks, each worth `threshold` standard deviations.
std::vector<Candidate> steps_between(const TraceGround& ground, const std::vector<Candidate>& peaks,
                                     double threshold);
/// Samples that belong to no other event.
SampleRange room_of(const TraceGround& ground, const Mark& mark);
/// Samples before this one show nothing of an event.
std::size_t foot_before(const LinearTrace& light, const Candidate& next);
/// The section before an event ends where the edge may begin to show.
void set_section_ends(TraceGround& ground);
/// Lines, edges by the lines, lines by the edges.
void fit_marks(TraceGround& ground);
/// Takes away the weakest step that the fine fit no longer bears out; false where there is none.
bool drop_weak_step(TraceGround& ground);
/// Slope and spread as the sections show them.
SlopePrior learned_slope(const TraceGround& ground, SlopePrior before, double spread);

}  // namespace strandbook
