#include "domain/traces/tails.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <limits>

#include "domain/traces/tail_equations.hpp"

namespace strandbook {
namespace {

constexpr std::size_t grid = 9;
constexpr double least_deviations = 2;  ///< what stands out less is no tail
constexpr double farthest = 0.5;       ///< change of a share or a length in one round, relative
constexpr double most_share = 0.03;
constexpr int rounds = 9;

/// From two pulses to some microseconds (usual detectors; common practice), evenly in ratio.
std::vector<TailPart> grid_of(const LinearTrace& trace) {
  const double shortest = 2.2 * trace.pulse.width;
  const double longest = std::max(11 * trace.pulse.width, trace.pulse.width * 1500 / trace.pulse_ns);
  std::vector<TailPart> parts;
  for (std::size_t i = 0; i < grid; ++i)
    parts.push_back({0, shortest * std::pow(longest / shortest, static_cast<double>(i) / (grid - 1))});
  return parts;
}

std::vector<double> shares_of(const std::vector<TailPart>& parts) {
  std::vector<double> shares;
  for (const TailPart& part : parts) shares.push_back(part.share);
  return shares;
}

/// Least squares with shares of 0 or more, one share after the other until they rest.
void solve_shares(const TailNormal& normal, std::vector<TailPart>& parts) {
  for (int round = 0; round < 4000; ++round) {
    double moved = 0;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const double own = normal.a[i][i];
      if (!(own > 0)) continue;
      double left = normal.y[i];
      for (std::size_t j = 0; j < parts.size(); ++j)
        if (j != i) left -= normal.a[i][j] * parts[j].share;
      const double next = std::clamp(left / own, 0.0, most_share);
      moved = std::max(moved, std::abs(next - parts[i].share) * std::sqrt(own));
      parts[i].share = next;
    }
    if (moved < 1e-4) break;
  }
  const double excess = TailEquations::excess(normal.misfit(shares_of(parts)), normal.rows);
  for (std::size_t i = 0; i < parts.size(); ++i)
    if (parts[i].share * std::sqrt(std::max(0.0, normal.a[i][i]) / excess) < least_deviations)
      parts[i].share = 0;
}

/// Neighbours on the grid stand for one length between them.
std::vector<TailPart> joined(const std::vector<TailPart>& parts) {
  std::vector<TailPart> out;
  bool open = false;
  for (const TailPart& part : parts) {
    if (!(part.share > 0)) {
      open = false;
      continue;
    }
    if (open) {
      TailPart& last = out.back();
      const double sum = last.share + part.share;
      last.length = std::exp((last.share * std::log(last.length) + part.share * std::log(part.length)) / sum);
      last.share = sum;
    } else {
      out.push_back(part);
    }
    open = true;
  }
  std::sort(out.begin(), out.end(), [](const TailPart& a, const TailPart& b) { return a.share > b.share; });
  if (out.size() > most_tail_parts) out.resize(most_tail_parts);
  return out;
}

/// Shares and lengths by the rule of Levenberg and Marquardt, about the logarithm of each.
class TailSearch {
 public:
  TailSearch(LinearTrace& trace, const TailEquations& equations, std::vector<TailPart> parts)
      : trace_(trace),
        equations_(equations),
        parts_(std::move(parts)),
        shortest_(2 * trace.pulse.width),
        longest_(std::max(12 * trace.pulse.width, trace.pulse.width * 2000 / trace.pulse_ns)) {}

  std::vector<TailPart> run() {
    std::vector<TailPart> tried = parts_;
    double least = std::numeric_limits<double>::infinity();
    TailNormal normal;
    for (int round = 0; round < rounds && !tried.empty(); ++round) {
      take_off(trace_, tried);
      const TailNormal there = equations_.with_lengths(tried);
      const double misfit = there.misfit(shares_of(tried));
      if (misfit < least) {
        damping_ = std::max(1e-4, damping_ / 10);
        if (least - misfit < 0.1) damping_ = 1e-4;
        least = misfit;
        normal = there;
        parts_ = tried;
      } else {
        damping_ *= 20;
      }
      tried = stepped(normal);
    }
    const double excess = TailEquations::excess(least, normal.rows);
    std::vector<TailPart> sure;
    for (std::size_t i = 0; i < parts_.size(); ++i)
      if (parts_[i].share * std::sqrt(normal.a[i][i] / excess) > least_deviations) sure.push_back(parts_[i]);
    if (getenv("DBG")) printf("    misfit %.3g of %.0f\n", least, normal.rows);
    return sure;
  }

 private:
  std::vector<TailPart> stepped(TailNormal normal) const {
    const std::size_t n = parts_.size();
    // Towards the least misfit from where it stands: the present shares are taken off the right side.
    for (std::size_t r = 0; r < 2 * n; ++r)
      for (std::size_t i = 0; i < n; ++i) normal.y[r] -= normal.a[r][i] * parts_[i].share;
    for (std::size_t i = 0; i < n; ++i) {
      // Both are known to about their double or half beforehand: what the trace cannot tell stays in place.
      const double known = 2 / (parts_[i].share * parts_[i].share);
      for (const std::size_t r : {i, n + i}) normal.a[r][r] += normal.a[r][r] * damping_ + known;
    }
    const std::vector<double> change = solved(normal, 2 * n);
    std::vector<TailPart> next;
    for (std::size_t i = 0; i < n; ++i) {
      const auto factor = [&](std::size_t r) {
        return std::exp(std::clamp(change[r] / parts_[i].share, -farthest, farthest));
      };
      next.push_back({std::min(parts_[i].share * factor(i), most_share),
                      std::clamp(parts_[i].length * factor(n + i), shortest_, longest_)});
    }
    return next;
  }

  LinearTrace& trace_;
  const TailEquations& equations_;
  std::vector<TailPart> parts_;
  double shortest_, longest_;
  double damping_ = 0.01;
};

}  // namespace

void remove_tails(LinearTrace& trace, const std::vector<Straight>& stretches, SlopePrior prior) {
  trace.power = trace.shown;
  trace.tail.assign(trace.shown.size(), 0);
  std::vector<TailPart> parts = grid_of(trace);
  const TailEquations equations(trace, stretches, prior);
  solve_shares(equations.with_shares(parts), parts);
  if (getenv("DBG2")) { for (auto& t : stretches) printf("    stretch %.1f %.1f %d\n", double(t.samples.first)*trace.step_km*1000, double(t.samples.last)*trace.step_km*1000, t.fibre); auto n = equations.with_shares(parts); for (std::size_t i=0;i<parts.size();++i) printf("    grid %.3g ns %.0f  a %.3g y %.3g\n", parts[i].share, parts[i].length/trace.pulse.width*trace.pulse_ns, n.a[i][i], n.y[i]); }
  parts = TailSearch(trace, equations, joined(parts)).run();
  take_off(trace, parts);
  if (getenv("DBG")) for (auto& q : parts) printf("    tail share %.4g ns %.1f\n", q.share, q.length/trace.pulse.width*trace.pulse_ns);
}

}  // namespace strandbook
