#include "domain/readings/uncertainty.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace strandbook {
namespace {

bool concerns(const ContributionRow& row, FibreMode mode, Nanometres wavelength) {
  return (!row.mode || *row.mode == mode) && (!row.wavelength || *row.wavelength == wavelength);
}

bool enters(Enters when, const LossConditions& at) {
  switch (when) {
    case Enters::always:
      return true;
    case Enters::instruments_differ:
      return at.instruments_differ;
    case Enters::without_closing_check:
      return !at.reference_change;
  }
  return true;
}

double grown(double per_unit, double minimum, Scale scale, const LossConditions& at) {
  switch (scale) {
    case Scale::absolute:
      return per_unit;
    case Scale::per_loss:
      return std::max(per_unit * std::abs(at.loss.value), minimum);
    case Scale::per_kilometre:
      return std::max(per_unit * at.length.value / 1000, minimum);
  }
  return per_unit;
}

/// Rectangular over ±|change|: nobody knows when between the two references the power moved.
double drift_standard(Decibels change) { return std::abs(change.value) / std::numbers::sqrt3; }

}  // namespace

Decibels combined_standard(std::span<const Contribution> independent) {
  double sum = 0;
  for (const Contribution& each : independent) sum += each.standard.value * each.standard.value;
  return {std::sqrt(sum)};
}

std::string_view text_of(Spread spread) {
  switch (spread) {
    case Spread::rectangular:
      return "rectangular";
    case Spread::triangular:
      return "triangular";
    case Spread::arcsine:
      return "arcsine";
    case Spread::normal:
      return "normal";
  }
  return {};
}

double divisor(Spread spread, double coverage) {
  switch (spread) {
    case Spread::rectangular:
      return std::numbers::sqrt3;
    case Spread::triangular:
      return std::sqrt(6.0);
    case Spread::arcsine:
      return std::numbers::sqrt2;
    case Spread::normal:
      return coverage;
  }
  return 1;
}

std::vector<Contribution> contributions_of(const UncertaintyModel& model, const LossConditions& at) {
  std::vector<Contribution> list;
  for (const ContributionRow& row : model) {
    if (!concerns(row, at.mode, at.wavelength) || !enters(row.enters, at)) continue;
    const double by = divisor(row.spread, row.coverage);
    list.push_back(
        {row.name, {grown(row.half_width / by, row.minimum.value / by, row.scale, at)}, row.shared});
  }
  if (at.reference_change)
    list.push_back({"change of the reference, opening to closing",
                    {drift_standard(*at.reference_change)},
                    SharedBy::session});
  return list;
}

UncertaintyBudget::UncertaintyBudget(const UncertaintyModel& model, FibreMode mode, Nanometres wavelength) {
  for (const ContributionRow& row : model) {
    if (!concerns(row, mode, wavelength)) continue;
    const double by = divisor(row.spread, row.coverage);
    parts_.push_back({row.half_width / by, row.minimum.value / by, row.scale, row.enters, row.shared});
  }
}

StandardUncertainty UncertaintyBudget::of(const LossConditions& at) const {
  double own = 0;
  double shared = at.reference_change ? drift_standard(*at.reference_change) : 0;
  shared *= shared;
  for (const Part& part : parts_) {
    if (!enters(part.enters, at)) continue;
    const double u = grown(part.standard_per_unit, part.minimum, part.scale, at);
    (part.shared == SharedBy::session ? shared : own) += u * u;
  }
  return {{std::sqrt(own + shared)}, {std::sqrt(shared)}};
}

}  // namespace strandbook
