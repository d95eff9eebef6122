#include "domain/traces/linear_trace.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace strandbook {
namespace {

constexpr double half_normal_median = 0.6744897501960817;  ///< median of |x|, x standard normal
// Share of the pulse that a receiver matched to it takes to answer (common practice: bandwidth 0.35 to 0.5 /
// τ).
constexpr double receiver_share = 0.39;

double quantile(std::vector<double>& values, double share) {
  const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return values[static_cast<std::size_t>(at)];
}

/// What the last samples show: noise swings by decibels, fibre does not.
struct Tail {
  bool noise = false;
  double rms = 0;
  double baseline = 0;
};

/// Rational approximation of the normal quantile (Abramowitz and Stegun, 26.2.23), |error| < 4.5e-4.
double normal_quantile(double p) {
  const bool upper = p > 0.5;
  const double t = std::sqrt(-2 * std::log(upper ? 1 - p : p));
  const double q = t - (2.515517 + 0.802853 * t + 0.010328 * t * t) /
                           (1 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t * t * t);
  return upper ? q : -q;
}

/// The part of them in which no light falls any more: the last half, quarter or sixth, as long as it is
/// plainly darker. Neighbours within a pulse know of each other: a part of fewer pulses would be darker by
/// chance, but not three times as dark. Very few must be ten times darker than most of the light before. The
/// peak at the end of the fibre may stand in the darker part.
std::vector<double> darkest_end(std::vector<double> last, double pulse) {
  const auto least = static_cast<std::size_t>(std::max(64.0, 20 * pulse));
  const auto few = static_cast<std::size_t>(std::max(32.0, 5 * pulse));
  const auto darker_from = [&](std::size_t parts) -> std::optional<std::size_t> {
    const std::size_t part = last.size() / parts;
    if (part < few) return std::nullopt;
    const auto start = last.end() - static_cast<std::ptrdiff_t>(part);
    std::vector<double> before(last.begin(), start);
    std::vector<double> behind(start, last.end());
    if (part < least && quantile(before, 0.5) < 10 * std::max(0.0, quantile(behind, 0.9)))
      return std::nullopt;
    const double times = part >= 2 * least ? 1.5 : 3;
    const bool darker = quantile(before, 0.9) > times * quantile(behind, 0.9);
    const bool but_for_a_peak = quantile(before, 0.6) > 3 * std::max(0.0, quantile(behind, 0.6));
    if (!darker && !but_for_a_peak) return std::nullopt;
    return last.size() - part;
  };
  for (bool again = true; again;) {
    again = false;
    for (const std::size_t parts : {2U, 4U, 6U}) {
      const std::optional<std::size_t> from = darker_from(parts);
      if (!from) continue;
      last.erase(last.begin(), last.begin() + static_cast<std::ptrdiff_t>(*from));
      again = true;
      break;
    }
  }
  return last;
}

/// The last samples that were measured: some instruments fill up the rest with one value.
std::vector<double> last_samples(const std::vector<double>& power, double pulse) {
  constexpr std::size_t filling = 16;
  std::size_t end = power.size();
  while (end > 1 && power[end - 1] == power[end - 2]) --end;
  if (end + filling > power.size() || end < 64) end = power.size();
  const std::size_t count = std::max<std::size_t>(power.size() / 12, std::min<std::size_t>(power.size(), 64));
  const auto stop = power.begin() + static_cast<std::ptrdiff_t>(end);
  return darkest_end({stop - static_cast<std::ptrdiff_t>(std::min(count, end)), stop}, pulse);
}

/// Negatives were cut off, turned over or set to a low value, as the instrument pleases; the positive half of
/// the noise is as it was.
Tail look_at_tail(std::vector<double> last) {
  const std::size_t count = last.size();
  const double middle = quantile(last, 0.5);
  const double low = quantile(last, 0.1);
  const double high = quantile(last, 0.9);
  Tail tail;
  tail.noise = high > 2 * low && middle >= 0;
  // A value that comes again and again is what negatives were set to.
  std::sort(last.begin(), last.end());
  double clipped = -1;
  std::size_t most = count / 8;
  for (std::size_t i = 0; i < count;) {
    std::size_t j = i;
    while (j < count && last[j] == last[i]) ++j;
    if (j - i > most) {
      most = j - i;
      clipped = last[i];
    }
    i = j;
  }
  std::vector<double> above;
  for (const double p : last)
    if (p != clipped) above.push_back(p);
  if (!tail.noise || above.size() < 16) return {};
  const double cut = 1 - static_cast<double>(above.size()) / static_cast<double>(count);
  tail.rms = quantile(above, 0.5) / half_normal_median;
  if (cut > 0.2 && cut < 0.8) {
    // Mean of a normal variable of which the share `cut` lies below zero.
    tail.baseline = -tail.rms * normal_quantile(cut);
    std::vector<double> positive;
    for (const double p : above)
      if (p > tail.baseline) positive.push_back(p - tail.baseline);
    if (positive.size() > 8) tail.rms = quantile(positive, 0.5) / half_normal_median;
    tail.baseline = -tail.rms * normal_quantile(cut);
  }
  return tail;
}

/// Of the last samples; a peak that still stands in them is no noise.
void state_floor(LinearTrace& out, std::vector<double> last, const Tail& tail) {
  constexpr double farthest = 6;
  double sum = 0;
  double count = 0;
  for (double& p : last) {
    p -= tail.baseline;
    if (p > farthest * tail.rms) continue;
    sum += p;
    count += 1;
  }
  out.floor_mean = count > 0 ? sum / count : 0;
  out.floor_median = quantile(last, 0.5);
}

/// A receiver that is full shows the same greatest level for samples on end, far above the backscatter.
double saturation_of(const std::vector<double>& power, double pulse) {
  const double most = *std::max_element(power.begin(), power.end());
  const auto long_enough = static_cast<std::size_t>(std::max(3.0, 0.25 * pulse));
  std::size_t run = 0;
  for (const double p : power) {
    run = p > most * 0.985 ? run + 1 : 0;
    if (run >= long_enough) return most * 0.93;
  }
  return 1e300;
}

}  // namespace

LinearTrace linear_trace(const Trace& trace) {
  LinearTrace out;
  const std::size_t count = trace.level_db.size();
  out.step_km = trace.step.value / 1000;
  out.pulse.width =
      std::max(1.0, shown_pulse_m(trace.settings.pulse_ns, trace.settings.index) / trace.step.value);
  out.pulse.receiver = std::max(0.2, receiver_share * out.pulse.width);
  std::vector<double> head;
  for (std::size_t i = 0; i < std::max<std::size_t>(count / 16, 8); ++i)
    if (std::isfinite(trace.level_db[i])) head.push_back(std::clamp(trace.level_db[i], -200.0, 200.0));
  if (!head.empty()) out.reference_db = quantile(head, 0.5);
  out.power.resize(count);
  constexpr double per_decibel = 1 / decibels_per_share;
  for (std::size_t i = 0; i < count; ++i) {
    const double level = trace.level_db[i];
    const bool dark = level <= trace.floor_db || !std::isfinite(level);
    out.power[i] =
        dark ? 0 : std::exp((std::min(level, out.reference_db + 60) - out.reference_db) * per_decibel);
  }
  out.saturation = saturation_of(out.power, out.pulse.width);
  if (trace.ceiling_db < 1e8)
    out.saturation =
        std::min(out.saturation, std::exp((trace.ceiling_db - out.reference_db) * per_decibel) * 0.999);
  std::vector<double> last = last_samples(out.power, out.pulse.width);
  const Tail tail = look_at_tail(last);
  out.noise_seen = tail.noise;
  out.noise = tail.rms;
  out.sample_noise = tail.rms;
  if (tail.baseline != 0)
    for (double& p : out.power) p -= tail.baseline;
  if (tail.noise) state_floor(out, std::move(last), tail);
  out.shown = out.power;
  out.recorded = out.power;
  out.pulse_ns = trace.settings.pulse_ns;
  return out;
}

}  // namespace strandbook
