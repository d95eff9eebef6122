#include "domain/rulebook/splice_demand.hpp"

#include <cmath>

#include "domain/link/same_window.hpp"

namespace strandbook {
namespace {

template <class T>
bool holds(const std::optional<T>& named, const T& asked) {
  return !named || *named == asked;
}

bool answers(const SpliceDemand& demand, const SpliceQuestion& question) {
  return demand.joint == question.joint && demand.count == question.count &&
         holds(demand.method, question.method) && holds(demand.mode, question.mode) &&
         holds(demand.wavelength, question.wavelength) && holds(demand.measure, question.measure) &&
         holds(demand.stage, question.stage);
}

int names(const SpliceDemand& demand) {
  return (demand.method ? 1 : 0) + (demand.mode ? 1 : 0) + (demand.wavelength ? 1 : 0) +
         (demand.measure ? 1 : 0) + (demand.stage ? 1 : 0);
}

const SpliceDemand* closest(const std::vector<SpliceDemand>& demands, const SpliceQuestion& question) {
  const SpliceDemand* best = nullptr;
  for (const SpliceDemand& demand : demands)
    if (answers(demand, question) && (best == nullptr || names(demand) > names(*best))) best = &demand;
  return best;
}

}  // namespace

std::string_view text_of(SpliceJoint joint) {
  switch (joint) {
    case SpliceJoint::splice:
      return "splice";
    case SpliceJoint::pigtail_splice:
      return "pigtail splice";
    case SpliceJoint::connector_with_splice:
      return "connector with its splice";
  }
  return {};
}

std::string_view text_of(SpliceMethod method) {
  return method == SpliceMethod::fusion ? "fusion" : "mechanical";
}

std::optional<SpliceMethod> parse_splice_method(std::string_view text) {
  for (const SpliceMethod method : {SpliceMethod::fusion, SpliceMethod::mechanical})
    if (text_of(method) == text) return method;
  return std::nullopt;
}

std::string_view text_of(SpliceMeasure measure) {
  return measure == SpliceMeasure::one_way ? "one way" : "two-way mean";
}

std::string_view text_of(SpliceCount count) {
  return count == SpliceCount::each ? "each" : "mean of the span";
}

std::string_view text_of(BuildStage stage) {
  switch (stage) {
    case BuildStage::factory:
      return "factory";
    case BuildStage::on_arrival:
      return "arrival";
    case BuildStage::while_building:
      return "building";
    case BuildStage::after_laying:
      return "after laying";
    case BuildStage::final_acceptance:
      return "final";
  }
  return {};
}

Nanometres demanded_wavelength(const std::vector<SpliceDemand>& demands, Nanometres laser) {
  Nanometres nearest = laser;
  double apart = widest_window.value;
  for (const SpliceDemand& demand : demands) {
    if (!demand.wavelength) continue;
    const double off = std::abs(demand.wavelength->value - laser.value);
    if (off > apart) continue;
    apart = off;
    nearest = *demand.wavelength;
  }
  return nearest;
}

std::optional<SpliceLimit> splice_limit(const std::vector<SpliceDemand>& demands,
                                        const SpliceQuestion& question) {
  const SpliceDemand* demand = closest(demands, question);
  if (demand == nullptr) return std::nullopt;
  const bool differ = question.fields == ModeFields::mismatched && demand->mismatched;
  SpliceLimit limit{differ ? *demand->mismatched : demand->limit, std::nullopt};
  if (demand->relaxed && question.attempts >= demand->relaxed->attempts) limit.relaxed = demand->relaxed;
  return limit;
}

}  // namespace strandbook
