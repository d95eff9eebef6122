#include "domain/traces/tails.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "domain/traces/tail_equations.hpp"

namespace strandbook {
namespace {

constexpr std::size_t grid = 9;
constexpr double least_gain = 9;  ///< squared deviations that a part must be worth
constexpr double farthest = 0.5;  ///< change of a share or a length in one round, relative
constexpr double most_share = 0.03;
/// Standard deviation of a part too weak to be fitted (usual detectors; common practice).
constexpr double hidden_share = 5e-6;
constexpr double most_hidden = 3;     ///< of that
constexpr double hidden_taken = 0.5;  ///< of the likeliest share; untold echoes may make as much of it
constexpr std::array<std::size_t, most_hidden_parts> hidden_lengths{5, 7};  ///< of the grid
constexpr double alike = 2.5;  ///< ratio of lengths within which a fitted part stands for a hidden one
constexpr int rounds = 8;

/// From two pulses to some microseconds (usual detectors; common practice), evenly in ratio.
std::vector<TailPart> grid_of(const LinearTrace& trace) {
  const double shortest = 2.2 * trace.pulse.width;
  const double longest = std::max(11 * trace.pulse.width, trace.pulse.width * 1500 / trace.pulse_ns);
  std::vector<TailPart> parts;
  for (std::size_t i = 0; i < grid; ++i)
    parts.push_back({0, shortest * std::pow(longest / shortest, static_cast<double>(i) / (grid - 1))});
  return parts;
}

/// Parts as fitted together.
struct TailFit {
  std::vector<TailPart> parts;
  TailCovariance covariance{};
  double misfit = 0;
  double rows = 0;
  double excess = 1;
  std::size_t hidden = 0;  ///< of the parts, the last
};

/// One part after the other, the worthiest first; after each the shares and lengths of all are fitted by the
/// rule of Levenberg and Marquardt, about the logarithm of each.
class TailSearch {
 public:
  TailSearch(LinearTrace& trace, const TailEquations& equations)
      : trace_(trace),
        equations_(equations),
        grid_(grid_of(trace)),
        shortest_(2 * trace.pulse.width),
        longest_(longest_tail(trace)) {}

  TailFit run(std::vector<TailPart> start) {
    take_off(trace_, {});
    const TailNormal untouched = equations_.with_shares({});
    fit_.misfit = untouched.misfit({});
    fit_.rows = untouched.rows;
    if (!start.empty()) {
      TailFit again = refined(std::move(start));
      if (explains_more(again) && !without_end(again) && !too_slow(again)) fit_ = std::move(again);
    }
    while (fit_.parts.size() < most_tail_parts) {
      take_off(trace_, fit_.parts);
      const std::optional<TailPart> more = worthiest();
      if (!more) break;
      std::vector<TailPart> parts = fit_.parts;
      parts.push_back(*more);
      TailFit tried = refined(std::move(parts));
      if (!explains_more(tried) || without_end(tried)) break;
      if (too_slow(tried))
        longest_ /= 2;
      else
        fit_ = std::move(tried);
    }
    return fit_;
  }

  /// What could not be told to be there may be there all the same: likeliest shares by what is usual, with
  /// how unsure they are.
  TailFit with_hidden() const {
    const std::size_t fitted = fit_.parts.size();
    std::vector<TailPart> all = fit_.parts;
    for (const std::size_t i : hidden_lengths) {
      const double length = grid_[i].length;
      const bool known = std::any_of(fit_.parts.begin(), fit_.parts.end(), [&](const TailPart& part) {
        return part.length < alike * length && length < alike * part.length;
      });
      if (!known && length <= longest_) all.push_back({0, length});
    }
    const std::size_t n = all.size();
    if (n == fitted) return fit_;
    TailFit fit = fit_;
    fit.parts = std::move(all);
    fit.hidden = n - fitted;
    TailNormal normal = held(equations_.with_lengths(fit.parts), fit);
    fit.covariance = inverse_of(normal, 2 * n);
    const std::vector<double> change = solved(normal, 2 * n);
    for (std::size_t i = fitted; i < n; ++i)
      fit.parts[i].share = hidden_taken * std::clamp(change[i], 0.0, most_hidden * hidden_share);
    return fit;
  }

 private:
  /// What the fit of more parts leaves over must be plainly less: the descent may have gone astray.
  bool explains_more(const TailFit& more) const {
    return fit_.misfit - more.misfit > least_gain * more.excess;
  }

  /// Ever slower, and hardly worth it: a slope of the fibre, no tail.
  bool without_end(const TailFit& more) const {
    constexpr double plain_gain = 60;  // squared deviations
    const bool at_limit = std::any_of(more.parts.begin(), more.parts.end(),
                                      [&](const TailPart& part) { return part.length > 0.97 * longest_; });
    return at_limit && fit_.misfit - more.misfit < plain_gain * more.excess;
  }

  /// A slow tail is still seen behind the end of the fibre; what leaves less than darkness there is none.
  bool too_slow(const TailFit& fit) const {
    // How negatives are cut off may shift the mean of the noise by less.
    constexpr double shift = 0.5;
    const SampleRange dark = equations_.dark();
    if (!trace_.noise_seen || dark.last < dark.first + 8) return false;
    take_off(trace_, fit.parts);
    // What is left of a strong tail is known as well as the tail.
    constexpr double of_tail = 0.05;
    double sum = 0;
    double tail = 0;
    for (std::size_t k = dark.first; k < dark.last; ++k) {
      sum += trace_.power[k];
      tail += trace_.shown[k] - trace_.power[k];
    }
    const auto n = static_cast<double>(dark.last - dark.first);
    return (sum + of_tail * tail) / n < -shift * trace_.noise - 4 * std::sqrt(trace_.noise_density / n);
  }

  /// The length of the grid that would explain most of what is left, with its share.
  std::optional<TailPart> worthiest() const {
    std::vector<TailPart> all = fit_.parts;
    all.insert(all.end(), grid_.begin(), grid_.end());
    const TailNormal normal = equations_.with_shares(all);
    const std::size_t n = fit_.parts.size();
    const std::vector<double> shares = shares_of(fit_.parts);
    const double misfit = normal.misfit(shares);
    std::optional<TailPart> best;
    double most = 0;
    for (std::size_t i = n; i < all.size(); ++i) {
      TailNormal known = normal;
      double left = normal.y[i];
      for (std::size_t j = 0; j < n; ++j) {
        left -= normal.a[i][j] * shares[j];
        known.y[j] = normal.a[i][j];
      }
      const std::vector<double> common = solved(known, n);
      double own = normal.a[i][i];
      for (std::size_t j = 0; j < n; ++j) own -= normal.a[i][j] * common[j];
      if (!(left > 0) || !(own > 1e-9 * normal.a[i][i]) || all[i].length > longest_) continue;
      const double gain = left * left / own;
      if (gain <= most || gain / TailEquations::excess(misfit - gain, normal.rows) < least_gain) continue;
      most = gain;
      best = TailPart{std::min(left / own, most_share), all[i].length};
    }
    return best;
  }

  TailFit refined(std::vector<TailPart> tried) const {
    TailFit fit;
    fit.misfit = std::numeric_limits<double>::infinity();
    double damping = 0.01;
    TailNormal normal;
    for (int round = 0; round < rounds; ++round) {
      take_off(trace_, tried);
      const TailNormal there = equations_.with_lengths(tried);
      const double misfit = there.misfit(shares_of(tried));
      const bool better = misfit < fit.misfit;
      const bool rests = better && fit.misfit - misfit < 0.3;
      damping = better ? std::max(1e-4, damping / 10) : damping * 20;
      if (better) {
        fit.misfit = misfit;
        fit.parts = tried;
        normal = there;
      }
      if (rests || damping > 1e6) break;
      tried = stepped(fit.parts, normal, damping);
    }
    fit.rows = normal.rows;
    fit.excess = TailEquations::excess(fit.misfit, normal.rows);
    fit.covariance = inverse_of(held(normal, fit), 2 * fit.parts.size());
    return fit;
  }

  /// Both are known to about their double or half beforehand: what the trace cannot tell stays in place. Of a
  /// part that was not fitted the share is as usual, and the length stays.
  static void hold(TailNormal& normal, const std::vector<TailPart>& parts, double damping) {
    const std::size_t n = parts.size();
    for (std::size_t r = 0; r < 2 * n; ++r) {
      const double share = parts[r % n].share;
      const double kept = r < n ? 1 / (hidden_share * hidden_share) : 1e30;
      normal.a[r][r] += normal.a[r][r] * damping + (share > 0 ? 2 / (share * share) : kept);
    }
  }

  /// Towards the least misfit from where it stands: the present shares are taken off the right side.
  static void from_here(TailNormal& normal, const std::vector<TailPart>& parts) {
    for (std::size_t r = 0; r < 2 * parts.size(); ++r)
      for (std::size_t i = 0; i < parts.size(); ++i) normal.y[r] -= normal.a[r][i] * parts[i].share;
  }

  /// Equations by what the noise really is, from where the parts stand, with what is known beforehand.
  static TailNormal held(TailNormal normal, const TailFit& fit) {
    from_here(normal, fit.parts);
    for (std::size_t r = 0; r < 2 * fit.parts.size(); ++r) {
      normal.y[r] /= fit.excess;
      for (std::size_t c = 0; c < 2 * fit.parts.size(); ++c) normal.a[r][c] /= fit.excess;
    }
    hold(normal, fit.parts, 0);
    return normal;
  }

  std::vector<TailPart> stepped(const std::vector<TailPart>& parts, TailNormal normal, double damping) const {
    const std::size_t n = parts.size();
    from_here(normal, parts);
    hold(normal, parts, damping);
    const std::vector<double> change = solved(normal, 2 * n);
    std::vector<TailPart> next;
    for (std::size_t i = 0; i < n; ++i) {
      const auto factor = [&](std::size_t r) {
        return std::exp(std::clamp(change[r] / parts[i].share, -farthest, farthest));
      };
      next.push_back({std::min(parts[i].share * factor(i), most_share),
                      std::clamp(parts[i].length * factor(n + i), shortest_, longest_)});
    }
    return next;
  }

  static TailCovariance inverse_of(TailNormal normal, std::size_t n) {
    TailCovariance out{};
    for (std::size_t r = 0; r < n; ++r) {
      normal.y = {};
      normal.y[r] = 1;
      const std::vector<double> row = solved(normal, n);
      std::copy(row.begin(), row.end(), out[r].begin());
    }
    return out;
  }

  LinearTrace& trace_;
  const TailEquations& equations_;
  std::vector<TailPart> grid_;
  TailFit fit_;
  double shortest_, longest_;
};

}  // namespace

double longest_tail(const LinearTrace& trace) {
  return std::max(12 * trace.pulse.width, trace.pulse.width * 2000 / trace.pulse_ns);
}

TailsFound remove_tails(LinearTrace& trace, const std::vector<Straight>& stretches, SlopePrior prior,
                        const std::vector<TailPart>& start) {
  take_off(trace, {});
  TailEquations equations(trace, stretches, prior);
  if (!equations.hold_something()) return {};
  TailsFound found;
  TailFit fit;
  for (bool again = true; again; found.left_out += again ? 1 : 0) {
    TailSearch search(trace, equations);
    fit = search.run(start);
    take_off(trace, fit.parts);
    again = equations.leave_out_worst(fit.parts);
    if (!again) fit = search.with_hidden();
  }
  take_off(trace, fit.parts);
  state_tails(trace, fit.parts, fit.covariance, stretches);
  fit.parts.resize(fit.parts.size() - fit.hidden);
  found.parts = std::move(fit.parts);
  found.misfit = fit.misfit;
  found.rows = fit.rows;
  return found;
}

}  // namespace strandbook
