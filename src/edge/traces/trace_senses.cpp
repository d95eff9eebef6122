#include "edge/traces/trace_senses.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

double median_of(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct Stretch {
  double roughness = 0;  ///< median step from sample to sample, dB
  double rise = 0;       ///< from the first half's median to the second's, dB
};

Stretch stretch_of(const double* level, std::size_t size) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < size; ++i) steps.push_back(std::abs(level[i] - level[i - 1]));
  const double first = median_of({level, level + size / 2});
  const double second = median_of({level + size / 2, level + size});
  return {median_of(std::move(steps)), second - first};
}

double mean_level(const std::vector<double>& level, std::ptrdiff_t from, std::ptrdiff_t to) {
  const auto size = static_cast<std::ptrdiff_t>(level.size());
  from = std::clamp(from, std::ptrdiff_t{0}, size);
  to = std::clamp(to, std::ptrdiff_t{0}, size);
  if (from >= to) return 0;
  double sum = 0;
  for (std::ptrdiff_t i = from; i < to; ++i) sum += level[static_cast<std::size_t>(i)];
  return sum / static_cast<double>(to - from);
}

}  // namespace

bool looks_inverted(const std::vector<double>& level_db) {
  constexpr std::size_t stretches = 48;
  const std::size_t size = level_db.size() / stretches;
  if (size < 8) return false;
  std::vector<Stretch> found;
  for (std::size_t i = 0; i < stretches; ++i) found.push_back(stretch_of(&level_db[i * size], size));
  std::vector<double> roughness;
  roughness.reserve(stretches);
  for (const Stretch& each : found) roughness.push_back(each.roughness);
  std::nth_element(roughness.begin(), roughness.begin() + stretches / 4, roughness.end());
  const double quiet = roughness[stretches / 4];
  // Fibre is the quietest part of a trace; there light can only be lost.
  int rising = 0;
  int falling = 0;
  for (const Stretch& each : found) {
    if (each.roughness > quiet) continue;
    rising += each.rise > 0 ? 1 : 0;
    falling += each.rise < 0 ? 1 : 0;
  }
  return rising >= 6 && rising > 4 * falling;
}

double event_alignment(const Trace& trace) {
  const double pulse = shown_pulse_m(trace.settings.pulse_ns, trace.settings.index) / trace.step.value;
  const auto width = static_cast<std::ptrdiff_t>(std::clamp(pulse, 3.0, 4096.0));
  double sum = 0;
  for (const StoredEvent& event : trace.stored) {
    const double place = (event.position.value - trace.first.value) / trace.step.value;
    if (!(std::abs(place) < 1e9)) continue;
    const auto at = static_cast<std::ptrdiff_t>(std::llround(place));
    sum += std::min(10.0, std::abs(mean_level(trace.level_db, at + 1, at + 1 + width) -
                                   mean_level(trace.level_db, at - width, at)));
  }
  return sum;
}

bool valid_utf8(std::string_view text) {
  std::size_t i = 0;
  while (i < text.size()) {
    const auto byte = static_cast<unsigned char>(text[i++]);
    int more = 0;
    if (byte >= 0xF0 && byte <= 0xF4)
      more = 3;
    else if (byte >= 0xE0 && byte < 0xF0)
      more = 2;
    else if (byte >= 0xC2 && byte < 0xE0)
      more = 1;
    else if (byte >= 0x80)
      return false;
    for (; more > 0; --more)
      if (i >= text.size() || (static_cast<unsigned char>(text[i++]) & 0xC0) != 0x80) return false;
  }
  return true;
}

}  // namespace strandbook
