#include "domain/traces/tail_equations.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr double unlike_tail =
    0.03;  ///< relative error of a fitted tail: no detector is made of exponentials
constexpr double strong_light = 1.5;      ///< of the last pulses, over the light of the stretch
constexpr std::size_t line_unknowns = 2;  ///< unknowns of a stretch: its level and its slope
constexpr std::size_t most_columns = line_unknowns + most_tail_unknowns + 2;  ///< common slope and light
using Row = std::array<double, most_columns>;

/// Equations of one stretch: its own unknowns first, what is shown last.
struct Gram {
  std::array<Row, most_columns> a{};

  void add(const Row& g, double weight, std::size_t columns) {
    for (std::size_t r = 0; r < columns; ++r) {
      const double wg = weight * g[r];
      for (std::size_t c = 0; c <= r; ++c) a[r][c] += wg * g[c];
    }
  }
  /// Takes the stretch's own unknowns out of the rest; only the lower triangle is kept.
  void eliminate(std::size_t columns) {
    for (std::size_t p = 0; p < line_unknowns; ++p) {
      if (!(a[p][p] > 0)) continue;
      for (std::size_t r = p + 1; r < columns; ++r) {
        const double share = a[r][p] / a[p][p];
        for (std::size_t c = p + 1; c <= r; ++c) a[r][c] -= share * a[c][p];
      }
    }
  }
};

double middle_power(const LinearTrace& trace, SampleRange range) {
  std::vector<double> some;
  const std::size_t stride = std::max<std::size_t>(1, (range.last - range.first) / 64);
  for (std::size_t k = range.first; k < range.last; k += stride) some.push_back(trace.power[k]);
  if (some.empty()) return 0;
  const auto middle = some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2);
  std::nth_element(some.begin(), middle, some.end());
  return std::max(0.0, *middle);
}

/// Behind the end only what stands well out of the noise is told linearly by the instrument.
std::size_t clear_until(const LinearTrace& trace, SampleRange range) {
  const auto block = static_cast<std::size_t>(std::max(4.0, trace.pulse.width));
  std::size_t at = range.first;
  while (at + block <= range.last) {
    double sum = 0;
    for (std::size_t k = at; k < at + block; ++k) sum += trace.shown[k];
    if (sum < 3 * trace.noise * static_cast<double>(block)) break;
    at += block;
  }
  return at;
}

/// A tail changes little within a third of a pulse.
std::size_t stride_of(const LinearTrace& trace) {
  return std::max<std::size_t>(1, static_cast<std::size_t>(trace.pulse.width / 3));
}

/// States of the exponentials, one after every sample.
class TailStates {
 public:
  explicit TailStates(const std::vector<TailPart>& parts) {
    for (const TailPart& part : parts) states_.push_back({std::exp(-1 / part.length), 1 / part.length, 0, 0});
  }
  void step(double p) {
    for (State& s : states_) {
      // How the state changes with the logarithm of the length follows the same recursion.
      s.change = s.keep * s.change + s.keep * s.rate * (s.value - p);
      s.value = s.keep * s.value + (1 - s.keep) * p;
    }
  }
  void step_values(double p) {
    for (State& s : states_) s.value = s.keep * s.value + (1 - s.keep) * p;
  }
  std::size_t size() const { return states_.size(); }
  double value(std::size_t i) const { return states_[i].value; }
  double change(std::size_t i) const { return states_[i].change; }

 private:
  struct State {
    double keep, rate, value, change;
  };
  std::vector<State> states_;
};

struct ShareColumns {
  TailStates states;
  void step(double p) { states.step_values(p); }
  void fill(Row& g) const {
    for (std::size_t i = 0; i < states.size(); ++i) g[line_unknowns + i] = states.value(i);
  }
};

struct LengthColumns {
  TailStates states;
  void step(double p) { states.step(p); }
  void fill(Row& g) const {
    const std::size_t n = states.size();
    for (std::size_t i = 0; i < n; ++i) {
      g[line_unknowns + i] = states.value(i);
      g[line_unknowns + n + i] = states.change(i);
    }
  }
};

}  // namespace

double TailNormal::misfit(const std::vector<double>& x) const {
  double sum = yy;
  for (std::size_t i = 0; i < x.size(); ++i) {
    sum -= 2 * y[i] * x[i];
    for (std::size_t j = 0; j < x.size(); ++j) sum += a[i][j] * x[i] * x[j];
  }
  return sum;
}

std::vector<double> solved(TailNormal normal, std::size_t unknowns) {
  std::vector<double> scale(unknowns);
  for (std::size_t i = 0; i < unknowns; ++i)
    scale[i] = normal.a[i][i] > 0 ? 1 / std::sqrt(normal.a[i][i]) : 0;
  for (std::size_t i = 0; i < unknowns; ++i) {
    normal.y[i] *= scale[i];
    for (std::size_t j = 0; j < unknowns; ++j) normal.a[i][j] *= scale[i] * scale[j];
    normal.a[i][i] += 1e-9;  // two lengths that run into each other
  }
  for (std::size_t p = 0; p < unknowns; ++p)
    for (std::size_t r = p + 1; r < unknowns; ++r) {
      const double share = normal.a[r][p] / normal.a[p][p];
      for (std::size_t j = p; j < unknowns; ++j) normal.a[r][j] -= share * normal.a[p][j];
      normal.y[r] -= share * normal.y[p];
    }
  std::vector<double> x(unknowns);
  for (std::size_t i = unknowns; i-- > 0;) {
    double left = normal.y[i];
    for (std::size_t j = i + 1; j < unknowns; ++j) left -= normal.a[i][j] * x[j];
    x[i] = left / normal.a[i][i];
  }
  for (std::size_t i = 0; i < unknowns; ++i) x[i] *= scale[i];
  return x;
}

std::vector<double> shares_of(const std::vector<TailPart>& parts) {
  std::vector<double> shares;
  shares.reserve(parts.size());
  for (const TailPart& part : parts) shares.push_back(part.share);
  return shares;
}

TailEquations::TailEquations(const LinearTrace& trace, const std::vector<Straight>& stretches,
                             SlopePrior prior)
    : trace_(trace),
      decay_(std::exp(prior.mean * trace.step_km / decibels_per_share)),
      spread_(prior.deviation * trace.step_km / decibels_per_share),
      common_(prior.common * trace.step_km / decibels_per_share),
      stride_(stride_of(trace)) {
  TailStates memory({{0, 3 * trace.pulse.width}, {0, 12 * trace.pulse.width}});
  std::size_t at = 0;
  for (const Straight& stretch : stretches) {
    for (; at < stretch.samples.first; ++at) memory.step_values(trace.shown[at]);
    if (!stretch.fibre) {
      dark_ = {stretch.samples.first,
               std::min(stretch.samples.last,
                        stretch.samples.first + static_cast<std::size_t>(std::ceil(10 * trace.pulse.width)))};
      plans_.push_back({{stretch.samples.first, clear_until(trace, stretch.samples)}, 0});
      continue;
    }
    const double middle = middle_power(trace, stretch.samples);
    // Where no strong light came before, a tail cannot be told from small events.
    if (std::max(memory.value(0), memory.value(1)) > strong_light * middle)
      plans_.push_back({stretch.samples, middle});
  }
}

namespace {

/// `of_slope`: equations of the slope that all fibre has, behind those of `unknowns` parts; what is shown
/// behind it. Beforehand it is known to `common`.
void eliminate_slope(TailNormal& all, const Row& of_slope, std::size_t unknowns, double common) {
  const double shown = of_slope[line_unknowns + unknowns + 1];
  const double own = of_slope[line_unknowns + unknowns] + 1 / (common * common);
  for (std::size_t r = 0; r < unknowns; ++r) {
    const double share = of_slope[line_unknowns + r] / own;
    for (std::size_t c = 0; c <= r; ++c) all.a[r][c] -= share * of_slope[line_unknowns + c];
    all.y[r] -= share * shown;
  }
  all.yy -= shown * shown / own;
}

}  // namespace

template <class Columns>
TailNormal TailEquations::collect(Columns columns, std::size_t unknowns,
                                  const std::vector<Plan>& plans) const {
  TailNormal all;
  // The slope that all fibre has comes behind the tails; it is eliminated in the end.
  const std::size_t slope = line_unknowns + unknowns;
  const std::size_t last = slope + 1;
  Row of_slope{};  ///< its equations with the others and what is shown
  std::size_t at = 0;
  for (const Plan& plan : plans) {
    Gram gram;
    const std::size_t half = (plan.samples.first + plan.samples.last) / 2;
    const double start =
        std::pow(decay_, static_cast<double>(plan.samples.first) - static_cast<double>(half));
    double shape = start;
    for (; at < plan.samples.last; ++at) {
      columns.step(trace_.power[at]);
      if (at < plan.samples.first) continue;
      shape *= decay_;
      if (at % stride_ != 0 || trace_.shows_echo(at)) continue;
      Row g{};
      g[0] = plan.middle * shape;
      g[1] = g[0] * (static_cast<double>(at) - static_cast<double>(half));
      columns.fill(g);
      g[slope] = g[1];
      g[last] = trace_.shown[at];
      all.rows += 1;
      gram.add(g, static_cast<double>(stride_) / trace_.density_under_tail(g[0], trace_.shown[at] - g[0]),
               last + 1);
    }
    // The slope of a fibre is nearly known.
    if (plan.middle > 0) gram.a[1][1] += 1 / (spread_ * spread_);
    gram.eliminate(last + 1);
    for (std::size_t r = 0; r < unknowns; ++r) {
      for (std::size_t c = 0; c <= r; ++c) all.a[r][c] += gram.a[line_unknowns + r][line_unknowns + c];
      all.y[r] += gram.a[last][line_unknowns + r];
      of_slope[line_unknowns + r] += gram.a[slope][line_unknowns + r];
    }
    of_slope[slope] += gram.a[slope][slope];
    of_slope[last] += gram.a[last][slope];
    all.yy += gram.a[last][last];
  }
  if (common_ > 0) eliminate_slope(all, of_slope, unknowns, common_);
  for (std::size_t r = 0; r < unknowns; ++r)
    for (std::size_t c = r + 1; c < unknowns; ++c) all.a[r][c] = all.a[c][r];
  return all;
}

TailNormal TailEquations::with_shares(const std::vector<TailPart>& parts) const {
  return collect(ShareColumns{TailStates(parts)}, parts.size(), plans_);
}

TailNormal TailEquations::with_lengths(const std::vector<TailPart>& parts) const {
  return collect(LengthColumns{TailStates(parts)}, 2 * parts.size(), plans_);
}

bool TailEquations::leave_out_worst(const std::vector<TailPart>& parts) {
  // Of squared deviations: what chance never makes, and what steps too small to be told may.
  constexpr double plain = 10;
  constexpr double small_steps = 400;
  constexpr double nearly_all = 2.0 / 3;
  const std::vector<double> shares = shares_of(parts);
  double all = 0;
  double most = 0;
  double rows = 0;
  std::size_t worst = 0;
  for (std::size_t i = 0; i < plans_.size(); ++i) {
    const TailNormal own = collect(ShareColumns{TailStates(parts)}, parts.size(), {plans_[i]});
    const double misfit = own.misfit(shares);
    all += misfit;
    if (misfit <= most) continue;
    most = misfit;
    rows = own.rows;
    worst = i;
  }
  if (plans_.size() < 2 || most < nearly_all * all || most < plain * rows + small_steps) return false;
  plans_.erase(plans_.begin() + static_cast<std::ptrdiff_t>(worst));
  return true;
}

namespace {

/// For each number of parts its own loop: it is run often, over all of a trace.
template <std::size_t N>
void take_off_parts(LinearTrace& trace, const std::vector<TailPart>& parts) {
  if constexpr (N > 0) {
    if (parts.size() < N) return take_off_parts<N - 1>(trace, parts);
    std::array<double, N> keep{}, share{}, value{};
    double own = 1;
    for (std::size_t i = 0; i < N; ++i) {
      keep[i] = std::exp(-1 / parts[i].length);
      share[i] = parts[i].share * keep[i];
      own -= share[i];
    }
    const double whole = 1 / own;
    for (std::size_t k = 0; k < trace.shown.size(); ++k) {
      double before = 0;
      for (std::size_t i = 0; i < N; ++i) before += share[i] * value[i];
      const double p = (trace.shown[k] - before) * whole;
      for (std::size_t i = 0; i < N; ++i) value[i] = keep[i] * value[i] + (1 - keep[i]) * p;
      trace.power[k] = p;
    }
  } else {
    trace.power = trace.shown;
  }
}

}  // namespace

void take_off(LinearTrace& trace, const std::vector<TailPart>& parts) {
  take_off_parts<most_tail_parts + most_hidden_parts>(trace, parts);
}

void state_tails(LinearTrace& trace, const std::vector<TailPart>& parts, const TailCovariance& covariance,
                 const std::vector<Straight>& stretches) {
  const std::size_t n = parts.size();
  TailStates states(parts);
  const std::size_t size = trace.shown.size();
  trace.tail.assign(size, 0);
  trace.tail_density.assign(size, 0);
  if (n == 0) return;
  std::array<double, 2 * (most_tail_parts + most_hidden_parts)> g{};
  const std::size_t stride = stride_of(trace);
  double density = 0;
  auto stretch = stretches.begin();
  for (std::size_t k = 0; k < size; ++k) {
    const double p = trace.power[k];
    states.step(p);
    double tail = 0;
    double most = 0;  ///< that the tail may be
    double length = 0;
    for (std::size_t i = 0; i < n; ++i) {
      g[i] = std::max(0.0, states.value(i) - p);
      g[n + i] = states.change(i);
      tail += parts[i].share * g[i];
      const double part = std::max(parts[i].share, std::sqrt(covariance[i][i])) * g[i];
      most += part;
      length += part * parts[i].length;
    }
    if (!(most > 0)) continue;
    trace.tail[k] = tail;
    // How unsure it is changes slowly.
    if (k % stride == 0) {
      while (stretch != stretches.end() && k >= stretch->samples.last) ++stretch;
      const bool inside = stretch != stretches.end() && k >= stretch->samples.first;
      const double longest =
          inside ? static_cast<double>(stretch->samples.last - stretch->samples.first) : length / most;
      double variance = unlike_tail * unlike_tail * tail * tail;
      for (std::size_t r = 0; r < 2 * n; ++r)
        for (std::size_t c = 0; c < 2 * n; ++c) variance += covariance[r][c] * g[r] * g[c];
      // The error is the same over the tail's length, or all of a shorter stretch: as a density its square
      // times that length.
      density = std::min(variance, most * most) * std::min(length / most, longest);
    }
    trace.tail_density[k] = density;
  }
}

}  // namespace strandbook
