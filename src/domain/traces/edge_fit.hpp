#pragma once
// Where exactly an event begins: the shape of the pulse is laid over the samples around it.

#include <optional>

#include "domain/traces/event_search.hpp"

namespace strandbook {

struct EdgeFit {
  double start = 0;      ///< samples
  double deviation = 1;  ///< standard, samples
  double height = 0;     ///< of the peak over the light before it, linear, plateau reached
  double before = 0;     ///< light just before it, linear
  bool saturated = false;
  bool peak = false;  ///< a step that carries a peak
};

/// `from`, `to`: samples that belong to no other event.
EdgeFit fit_peak_edge(const LinearTrace& trace, const Candidate& peak, SampleRange room);
/// A step between two known lines (dB, x in kilometres).
EdgeFit fit_step_edge(const LinearTrace& trace, const Candidate& step, const Line& before, const Line& after,
                      SampleRange room);
/// Where a step stands that a peak near it was taken to carry; nothing where both may be at one place.
std::optional<double> step_beside_peak(const LinearTrace& trace, const EdgeFit& peak, const Line& before,
                                       const Line& after, SampleRange room);
/// Standard deviation of the place of a peak of this height over this light, linear, in samples: an edge of
/// height h rises by h / receiver within a sample, and both edges tell the place.
double peak_place_deviation(const LinearTrace& trace, double before, double height);
/// Standard deviation of the place of a step of `drop` dB, samples; `density` is the variance of a level over
/// one sample's worth of averaging, dB². The edge of a ramp tells it to √(density · width) / drop
/// (Cramér–Rao). A small step is known by what lies on both sides of it: √26 · density / drop² (variance of
/// the most likely place of a sharp change).
double step_place_deviation(double density, double width, double drop);
/// The start at which one line most likely gives way to the other, the pulse's ramp taken for a sharp step in
/// its middle. The smaller a step, the farther from its first place it may be found: four standard
/// deviations, or six pulses, are looked through.
double likeliest_start(const LinearTrace& trace, const Candidate& step, const Line& before, const Line& after,
                       SampleRange room);
/// Where the light of a line ends in darkness.
EdgeFit fit_dark_edge(const LinearTrace& trace, const Line& before, SampleRange room);
/// The receiver's time constant as the strongest unsaturated peaks show it; unchanged where there are none.
void learn_receiver(LinearTrace& trace, const std::vector<Candidate>& peaks);

}  // namespace strandbook
