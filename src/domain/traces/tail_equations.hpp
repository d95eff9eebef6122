#pragma once
// Normal equations for the tail of a detector: what every stretch shows beyond a straight line.

#include <array>
#include <vector>

#include "domain/traces/tails.hpp"

namespace strandbook {

inline constexpr std::size_t most_tail_parts = 3;    ///< that are fitted
inline constexpr std::size_t most_hidden_parts = 2;  ///< that may be there, too weak to be fitted
inline constexpr std::size_t most_tail_unknowns = 12;

/// a · x = y, the stretches' own lines eliminated.
struct TailNormal {
  std::array<std::array<double, most_tail_unknowns>, most_tail_unknowns> a{};
  std::array<double, most_tail_unknowns> y{};
  double yy = 0;    ///< weighted squares of what the lines alone leave over
  double rows = 0;  ///< samples taken

  /// What these values of the first unknowns leave over.
  double misfit(const std::vector<double>& x) const;
};

/// Solution of the first `unknowns`, by Gauss on equations scaled to a diagonal of 1.
std::vector<double> solved(TailNormal normal, std::size_t unknowns);

std::vector<double> shares_of(const std::vector<TailPart>& parts);

class TailEquations {
 public:
  /// All three must outlive it. The light that makes the tails is `power` as it stands at each call.
  TailEquations(const LinearTrace& trace, const std::vector<Straight>& stretches, SlopePrior prior);
  /// How far squares exceed what the noise explains, 1 or more: events too small to be seen, shapes not
  /// exact.
  static double excess(double misfit, double rows) {
    return misfit > usual_misfit * rows ? misfit / (usual_misfit * rows) : 1;
  }

  /// False where no stretch lies behind strong light.
  bool hold_something() const { return !plans_.empty(); }
  /// Behind the end of the fibre, where a tail that is still strong must show; may be empty.
  SampleRange dark() const { return dark_; }
  /// Leaves out the stretch that holds nearly all of what these parts leave over, if others are borne out:
  /// the end of a fibre or a peak that was not told lies on it. False where there is none.
  bool leave_out_worst(const std::vector<TailPart>& parts);
  /// Unknowns: the share of each part, at most twelve.
  TailNormal with_shares(const std::vector<TailPart>& parts) const;
  /// Unknowns: the shares, then share times relative change of length of each; at most three parts.
  TailNormal with_lengths(const std::vector<TailPart>& parts) const;

 private:
  struct Plan {
    SampleRange samples;
    double middle = 0;  ///< power in the middle of fibre, 0 behind its end
  };
  template <class Columns>
  TailNormal collect(Columns columns, std::size_t unknowns, const std::vector<Plan>& plans) const;

  const LinearTrace& trace_;
  std::vector<Plan> plans_;
  SampleRange dark_;
  double decay_;   ///< share of the light that is left after one sample
  double spread_;  ///< of a fibre's slope, relative power per sample
  double common_;  ///< of the slope of all fibre here, likewise
  std::size_t stride_;
};

/// Covariance of the shares, then of share times relative change of length of each part.
using TailCovariance = std::array<std::array<double, 2 * (most_tail_parts + most_hidden_parts)>,
                                  2 * (most_tail_parts + most_hidden_parts)>;

/// Rewrites `power` from `shown`.
void take_off(LinearTrace& trace, const std::vector<TailPart>& parts);
/// States in `tail` and `tail_density` what was taken off, and how unsure it is in each of these stretches.
void state_tails(LinearTrace& trace, const std::vector<TailPart>& parts, const TailCovariance& covariance,
                 const std::vector<Straight>& stretches);

}  // namespace strandbook
