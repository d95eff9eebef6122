#include "domain/traces/tails.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "domain/traces/tail_equations.hpp"

namespace strandbook {
namespace {

constexpr std::size_t grid = 9;
constexpr double least_deviations = 4;  ///< what stands out less is no tail
constexpr double farthest = 0.35;       ///< change of a length in one round, relative
constexpr int rounds = 7;

/// From two pulses to some microseconds (usual detectors; common practice), evenly in ratio.
std::vector<TailPart> grid_of(const LinearTrace& trace) {
  const double shortest = 2.2 * trace.pulse.width;
  const double longest = std::max(11 * trace.pulse.width, trace.pulse.width * 1500 / trace.pulse_ns);
  std::vector<TailPart> parts;
  for (std::size_t i = 0; i < grid; ++i)
    parts.push_back({0, shortest * std::pow(longest / shortest, static_cast<double>(i) / (grid - 1))});
  return parts;
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
      const double next = std::clamp(left / own, 0.0, 0.1);
      moved = std::max(moved, std::abs(next - parts[i].share) * std::sqrt(own));
      parts[i].share = next;
    }
    if (moved < 1e-4) break;
  }
  for (std::size_t i = 0; i < parts.size(); ++i)
    if (parts[i].share * std::sqrt(std::max(0.0, normal.a[i][i])) < least_deviations) parts[i].share = 0;
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

/// One round of Gauss and Newton for shares and lengths; false where nothing is left.
bool improve(const TailEquations& equations, const LinearTrace& trace, std::vector<TailPart>& parts) {
  TailNormal normal = equations.with_lengths(parts);
  const std::size_t n = parts.size();
  // A length is known to about its half beforehand; that keeps what the trace cannot tell in place.
  for (std::size_t i = 0; i < n; ++i) normal.a[n + i][n + i] += 4 / (parts[i].share * parts[i].share);
  const std::vector<double> found = solved(normal, 2 * n);
  std::vector<TailPart> next;
  const double longest = std::max(20 * trace.pulse.width, trace.pulse.width * 3000 / trace.pulse_ns);
  for (std::size_t i = 0; i < n; ++i) {
    const double share = found[i];
    if (!(share > 0) || share * std::sqrt(normal.a[i][i]) < least_deviations) continue;
    const double change = std::clamp(found[n + i] / share, -farthest, farthest);
    next.push_back({std::min(share, 0.1),
                    std::clamp(parts[i].length * std::exp(change), 1.2 * trace.pulse.width, longest)});
  }
  parts = std::move(next);
  return !parts.empty();
}

}  // namespace

void remove_tails(LinearTrace& trace, const std::vector<Straight>& stretches, SlopePrior prior) {
  trace.power = trace.shown;
  trace.tail.assign(trace.shown.size(), 0);
  std::vector<TailPart> parts = grid_of(trace);
  const TailEquations equations(trace, stretches, prior);
  solve_shares(equations.with_shares(parts), parts);
  parts = joined(parts);
  for (int round = 0; round < rounds && !parts.empty(); ++round) {
    take_off(trace, parts);
    if (!improve(equations, trace, parts)) break;
  }
  take_off(trace, parts);
  if (getenv("DBG")) for (auto& q : parts) printf("    tail share %.4g ns %.1f\n", q.share, q.length/trace.pulse.width*trace.pulse_ns);
}

}  // namespace strandbook
