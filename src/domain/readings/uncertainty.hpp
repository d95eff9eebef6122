#pragma once
// Standard uncertainty of a loss as named contributions (JCGM 100:2008), shared and per-reading parts apart.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// Distribution of a Type B contribution; sets the divisor of its half-width (JCGM 100:2008, 4.3).
enum class Spread { rectangular, triangular, arcsine, normal };

std::string_view text_of(Spread spread);  // "rectangular", "triangular", "arcsine", "normal"

/// What a contribution grows with.
enum class Scale { absolute, per_loss, per_kilometre };

/// When a contribution enters. Absolute calibration cancels while one meter at one setting reads both powers.
enum class Enters { always, instruments_differ, without_closing_check };

/// Who shares it: averaging readings never removes what a session shares.
enum class SharedBy { reading, session };

struct ContributionRow {
  std::string name;
  std::optional<FibreMode> mode;         ///< empty = both
  std::optional<Nanometres> wavelength;  ///< empty = all
  double half_width = 0;                 ///< dB, dB per dB of loss, or dB per km, after `scale`; >= 0
  double coverage = 1;                   ///< k of a normal spread
  Scale scale = Scale::absolute;
  Spread spread = Spread::rectangular;
  Enters enters = Enters::always;
  SharedBy shared = SharedBy::reading;
  Decibels minimum;  ///< least half-width of a scaled contribution
  RuleRef source;
};

using UncertaintyModel = std::vector<ContributionRow>;

/// Conditions of one loss.
struct LossConditions {
  FibreMode mode;
  Nanometres wavelength;
  Decibels loss;
  Metres length;                             ///< 0 where unknown
  bool instruments_differ = false;           ///< other meter at the reference than at the reading
  std::optional<Decibels> reference_change;  ///< closing minus opening reference, where there was a check
};

struct Contribution {
  std::string name;
  Decibels standard;  ///< u_k, k = 1
  SharedBy shared = SharedBy::reading;
};

struct StandardUncertainty {
  Decibels combined;  ///< u_c of one loss
  Decibels shared;    ///< the part that all readings of its session have in common
};

/// Root sum of squares of independent contributions (JCGM 100:2008, equation 10 with unit sensitivities).
Decibels combined_standard(std::span<const Contribution> independent);

/// Divisor that turns a half-width into a standard uncertainty: √3, √6, √2, or k.
double divisor(Spread spread, double coverage);

/// The named contributions of one loss. A closing check replaces the specified drift by |change|/√3.
std::vector<Contribution> contributions_of(const UncertaintyModel& model, const LossConditions& at);

/// The same, combined, for many losses at one mode and wavelength without rebuilding the list each time.
class UncertaintyBudget {
 public:
  UncertaintyBudget(const UncertaintyModel& model, FibreMode mode, Nanometres wavelength);
  /// u of a loss at this budget's mode and wavelength; other members of `at` as in contributions_of.
  StandardUncertainty of(const LossConditions& at) const;

 private:
  struct Part {
    double standard_per_unit;
    double minimum;
    Scale scale;
    Enters enters;
    SharedBy shared;
  };
  std::vector<Part> parts_;
};

}  // namespace strandbook
