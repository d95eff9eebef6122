#include "domain/traces/tails.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace strandbook {
namespace {

constexpr std::size_t lengths = 9;
constexpr std::size_t unknowns = lengths + 3;  // level and slope of the stretch first, what is shown last
constexpr double inexact = 0.05;               ///< relative error of a tail that is made of fixed lengths
using Row = std::array<double, unknowns>;
using Gram = std::array<Row, unknowns>;

struct TailBasis {
  std::array<double, lengths> keep{};  ///< share that is left after one sample
};

/// From a few pulses to some microseconds (usual detectors; common practice), evenly in ratio.
TailBasis basis_of(const LinearTrace& trace) {
  const double shortest = 2.2 * trace.pulse.width;
  const double longest = std::max(11 * trace.pulse.width, trace.pulse.width * 1500 / trace.pulse_ns);
  TailBasis basis;
  for (std::size_t i = 0; i < lengths; ++i)
    basis.keep[i] =
        std::exp(-1 / (shortest * std::pow(longest / shortest, static_cast<double>(i) / (lengths - 1))));
  return basis;
}

/// Takes two unknowns of a stretch's own out of its equations.
void eliminate(Gram& gram, std::size_t own) {
  for (std::size_t p = 0; p < own; ++p) {
    if (!(gram[p][p] > 0)) continue;
    for (std::size_t r = p + 1; r < unknowns; ++r) {
      const double share = gram[r][p] / gram[p][p];
      for (std::size_t c = p; c < unknowns; ++c) gram[r][c] -= share * gram[p][c];
    }
  }
}

double middle_power(const LinearTrace& trace, SampleRange range) {
  std::vector<double> some;
  const std::size_t stride = std::max<std::size_t>(1, (range.last - range.first) / 64);
  for (std::size_t k = range.first; k < range.last; k += stride) some.push_back(trace.shown[k]);
  if (some.empty()) return 0;
  std::nth_element(some.begin(), some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2), some.end());
  return some[some.size() / 2];
}

/// Equations of all stretches for the shares of the tails.
class TailEquations {
 public:
  TailEquations(const LinearTrace& trace, const TailBasis& basis, SlopePrior prior)
      : trace_(trace), basis_(basis), slope_(prior.mean), spread_(prior.deviation) {}

  Gram collect(const std::vector<Straight>& stretches) {
    std::array<double, lengths> state{};
    std::size_t at = 0;
    for (const Straight& stretch : stretches) {
      begin(stretch);
      for (; at < stretch.samples.last; ++at) {
        const double p = trace_.shown[at];
        for (std::size_t i = 0; i < lengths; ++i)
          state[i] = basis_.keep[i] * state[i] + (1 - basis_.keep[i]) * p;
        if (at >= stretch.samples.first && at % stride_ == 0) take(stretch, at, state);
      }
      for (std::size_t r = 0; r < unknowns; ++r)
        for (std::size_t c = r + 1; c < unknowns; ++c) gram_[r][c] = gram_[c][r];
      // The slope of a fibre is nearly known: its change within the stretch is held by that.
      gram_[1][1] += std::pow(decibels_per_share / (spread_ * std::max(middle_, 1e-12)), 2);
      eliminate(gram_, stretch.fibre ? 2 : 0);
      for (std::size_t r = 2; r < unknowns; ++r)
        for (std::size_t c = 2; c < unknowns; ++c) all_[r][c] += gram_[r][c];
    }
    return all_;
  }

 private:
  void begin(const Straight& stretch) {
    gram_ = {};
    middle_ = stretch.fibre ? middle_power(trace_, stretch.samples) : 0;
    variance_ =
        std::max(1e-300, trace_.noise_density + std::max(trace_.fading_density, 1e-7) * middle_ * middle_);
  }

  void take(const Straight& stretch, std::size_t at, const std::array<double, lengths>& state) {
    Row g{};
    const double x = static_cast<double>(at - stretch.samples.first) * trace_.step_km;
    g[0] = std::exp(slope_ * x / decibels_per_share);
    g[1] = g[0] * x;
    for (std::size_t i = 0; i < lengths; ++i) g[2 + i] = state[i];
    g[unknowns - 1] = trace_.shown[at];
    // Where the tail is strong the shapes that it is made of are not exact.
    const double excess = inexact * std::max(0.0, trace_.shown[at] - middle_);
    const double weight = static_cast<double>(stride_) / (variance_ + excess * excess * trace_.pulse.width);
    for (std::size_t r = 0; r < unknowns; ++r)
      for (std::size_t c = 0; c <= r; ++c) gram_[r][c] += weight * g[r] * g[c];
  }

  const LinearTrace& trace_;
  const TailBasis& basis_;
  double slope_;
  double spread_;
  double middle_ = 0;
  double variance_ = 1;
  const std::size_t stride_ = std::max<std::size_t>(1, static_cast<std::size_t>(trace_.pulse.width / 3));
  Gram gram_{};
  Gram all_{};
};

/// Least squares with shares of 0 or more, one share after the other until they rest.
std::array<double, lengths> shares_of(const Gram& gram) {
  std::array<double, lengths> share{};
  for (int round = 0; round < 4000; ++round) {
    double moved = 0;
    for (std::size_t i = 0; i < lengths; ++i) {
      const double own = gram[2 + i][2 + i];
      if (!(own > 0)) continue;
      double left = gram[2 + i][unknowns - 1];
      for (std::size_t j = 0; j < lengths; ++j)
        if (j != i) left -= gram[2 + i][2 + j] * share[j];
      const double next = std::clamp(left / own, 0.0, 0.1);
      moved = std::max(moved, std::abs(next - share[i]) * std::sqrt(own));
      share[i] = next;
    }
    if (moved < 1e-4) break;
  }
  // What does not stand out of its own uncertainty is no tail.
  for (std::size_t i = 0; i < lengths; ++i)
    if (share[i] * std::sqrt(std::max(0.0, gram[2 + i][2 + i])) < 4) share[i] = 0;
  return share;
}

}  // namespace

void remove_tails(LinearTrace& trace, const std::vector<Straight>& stretches, SlopePrior prior) {
  const TailBasis basis = basis_of(trace);
  const std::array<double, lengths> share = shares_of(TailEquations(trace, basis, prior).collect(stretches));
  double direct = 1;
  for (std::size_t i = 0; i < lengths; ++i) direct -= share[i];
  std::array<double, lengths> state{};
  double own = direct;
  for (std::size_t i = 0; i < lengths; ++i) own += share[i] * (1 - basis.keep[i]);
  for (std::size_t k = 0; k < trace.shown.size(); ++k) {
    double rest = trace.shown[k];
    for (std::size_t i = 0; i < lengths; ++i) rest -= share[i] * basis.keep[i] * state[i];
    const double p = rest / own;
    for (std::size_t i = 0; i < lengths; ++i) state[i] = basis.keep[i] * state[i] + (1 - basis.keep[i]) * p;
    trace.power[k] = p;
  }
}

}  // namespace strandbook
