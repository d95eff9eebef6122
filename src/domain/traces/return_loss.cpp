// Light that comes back from a stretch of fibre, as return loss.

#include <algorithm>
#include <cmath>

#include "domain/traces/event_results.hpp"

namespace strandbook {

void state_return_loss(const Trace& trace, const TraceGround& ground, TraceAnalysis& out) {
  if (!trace.settings.backscatter || ground.sections.empty()) return;
  const FittedSection& first = ground.sections.front();
  if (!(first.line.information > 0)) return;
  const double w = ground.light.pulse.width;
  std::size_t last = ground.last;
  for (const TraceEvent& event : out.events) {
    if (event.kind == EventKind::end_of_fibre)
      last = static_cast<std::size_t>(
          std::max(0.0, (event.position.value - trace.first.value) / trace.step.value + w +
                            4 * ground.light.pulse.receiver));
    if (event.saturated && event.kind != EventKind::ghost) out.return_loss_is_bound = true;
  }
  last = std::min(last, ground.light.power.size());
  // From the panel to where the fibre can first be seen its line stands for it.
  const double zero = -trace.first.value / trace.step.value;
  const double start_power = std::exp(first.line.at(zero * ground.light.step_km) / decibels_per_share);
  const double head = std::max(0.0, static_cast<double>(ground.first) - zero);
  double sum = start_power * head;
  for (std::size_t k = ground.first; k < last; ++k) sum += ground.light.power[k];
  // dt of a sample, ns, there and back.
  const double dt_ns = 2 * trace.settings.index.value * trace.step.value / light_speed * 1e9;
  const double back = std::pow(10, trace.settings.backscatter->value / 10) * sum / start_power * dt_ns;
  if (!(back > 0)) return;
  const double spread =
      std::sqrt(ground.light.noise_density * static_cast<double>(last - std::min(last, ground.first)));
  out.return_loss = Measured{-10 * std::log10(back), 4.343 * spread / std::max(sum, 1e-300)};
}

}  // namespace strandbook
