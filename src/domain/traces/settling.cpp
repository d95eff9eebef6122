#include "domain/traces/settling.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace strandbook {
namespace {

constexpr double least_seen = 0.02;  ///< share of the fibre's light that the unsure part may still have
constexpr double most_taken = 0.25;  ///< share of it that may be taken off
constexpr double early_tail = 0.3;   ///< relative error of a detector's tail where none was fitted
constexpr double forgotten = 1e-4;   ///< share of it that is no longer worth taking off

/// The receiver's answer from sample `from` on: `height` there, over the light of the fibre.
struct Answer {
  std::size_t from = 0;
  std::size_t until = 0;  ///< where another event may begin to show, or nothing of it is left
  double height = 0;
  double behind = 0;
};

/// Behind the pulse, its edge, and as long as the receiver is full.
std::size_t falls_from(const LinearTrace& light, const Candidate& peak, std::size_t until) {
  auto k = static_cast<std::size_t>(std::max(0.0, std::ceil(peak.start + 1.3 * light.pulse.width))) + 1;
  for (std::size_t i = k; i < until; ++i)
    if (light.shown[i] >= light.saturation) k = i + 2;
  return k;
}

/// The fibre's light is what the last third shows without the answer, and the answer what the first sample
/// shows without the fibre.
Answer answer_of(const LinearTrace& light, const Candidate& peak, std::size_t until) {
  Answer answer;
  answer.until = until;
  answer.from = falls_from(light, peak, until);
  if (answer.from + 6 > until) return answer;
  const std::size_t third = until - (until - answer.from) / 3;
  for (int round = 0; round < 4; ++round) {
    double sum = 0;
    for (std::size_t k = third; k < until; ++k)
      sum += light.power[k] - answer.height * std::exp(-static_cast<double>(k - answer.from) / light.fall);
    answer.behind = std::max({sum / static_cast<double>(until - third), light.noise, 1e-12});
    answer.height = light.power[answer.from] - answer.behind;
  }
  return answer;
}

/// Samples in which an answer falls to 1/e, by a line through its logarithm.
std::optional<double> fall_of(const LinearTrace& light, const Answer& answer) {
  // Deep below its beginning it is no longer told from the detector's tails.
  const double least = std::max({3 * answer.behind, 50 * light.noise, 0.01 * answer.height});
  double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
  for (std::size_t k = answer.from; k < answer.until && light.power[k] > least; ++k) {
    const auto x = static_cast<double>(k - answer.from);
    const double y = std::log(light.power[k] - answer.behind);
    n += 1;
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
  }
  if (n < 4 || n < 1.5 * light.pulse.receiver) return std::nullopt;
  const double slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
  const double fall = slope < 0 ? -1 / slope : 0;
  if (fall < 0.5 * light.pulse.receiver || fall > 2 * light.pulse.receiver) return std::nullopt;
  return fall;
}

/// The strongest answer tells it best.
void learn_fall(LinearTrace& light, const std::vector<Answer>& answers) {
  double most = 0;
  for (const Answer& answer : answers) {
    if (!(answer.height > most * answer.behind)) continue;
    const std::optional<double> fall = fall_of(light, answer);
    if (!fall) continue;
    most = answer.height / answer.behind;
    light.fall = *fall;
    light.fall_unsure = 0.01 + 0.2 / most;
  }
}

/// How unsure the answer is after x time constants, as a share of itself.
double unsure_after(const LinearTrace& light, const Answer& answer, double x) {
  const double noise = std::sqrt(light.noise_density / std::max(1.0, light.fall));
  return std::hypot(light.fall_unsure * x, (0.05 * answer.behind + noise) / answer.height);
}

void take_off(LinearTrace& light, const Answer& answer, Candidate& peak) {
  std::size_t seen = answer.until;
  for (std::size_t k = answer.from; k < answer.until; ++k) {
    const double x = static_cast<double>(k - answer.from) / light.fall;
    const double value = answer.height * std::exp(-x);
    if (value < forgotten * answer.behind) break;
    const double tail = light.tail.empty() ? 0 : early_tail * light.tail[k];
    const double unsure = std::hypot(value * unsure_after(light, answer, x), tail);
    if (seen == answer.until && value < most_taken * answer.behind && unsure < least_seen * answer.behind)
      seen = k;
    light.settling[k] += value;
    // The same error over the answer's length.
    light.tail_density[k] += unsure * unsure * light.fall;
  }
  peak.until = std::min(peak.until, seen);
}

}  // namespace

void settle_peaks(LinearTrace& light, std::vector<Candidate>& peaks) {
  light.settling.assign(light.power.size(), 0);
  light.tail_density.resize(light.power.size(), 0);
  light.fall = light.pulse.receiver;
  std::vector<Answer> answers;
  const auto look = [&] {
    answers.clear();
    for (std::size_t i = 0; i < peaks.size(); ++i) {
      const double next = i + 1 < peaks.size() ? peaks[i + 1].start - 2 - 0.3 * light.pulse.width : 1e18;
      const double until = std::min(static_cast<double>(std::min(peaks[i].until, light.power.size())), next);
      answers.push_back(answer_of(light, peaks[i], static_cast<std::size_t>(std::max(0.0, until))));
    }
  };
  look();
  for (int round = 0; round < 2; ++round) {
    learn_fall(light, answers);
    look();
  }
  for (std::size_t i = 0; i < peaks.size(); ++i)
    if (answers[i].height > 0) take_off(light, answers[i], peaks[i]);
}

}  // namespace strandbook
