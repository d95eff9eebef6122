#include "domain/verdict/strand_judge.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {

struct StrandJudge::Candidate {
  std::uint32_t reading = nothing;
  Reason reason = Reason::none;
  Decibels loss;
  bool has_loss = false;
  ReferenceMatch match;
  std::optional<ReferenceMethod> method;
  bool valid() const { return reason == Reason::none; }
};

namespace {

constexpr double same_wavelength_nm = 0.5;

bool same(Nanometres a, Nanometres b) { return std::abs(a.value - b.value) < same_wavelength_nm; }

Reason reason_of(ReferenceFault fault) {
  switch (fault) {
    case ReferenceFault::none:
      return Reason::none;
    case ReferenceFault::missing:
      return Reason::no_reference;
    case ReferenceFault::ambiguous:
      return Reason::ambiguous_reference;
    case ReferenceFault::after_reading:
      return Reason::reference_after_reading;
    case ReferenceFault::expired:
      return Reason::reference_expired;
    case ReferenceFault::setting_differs:
      return Reason::reference_setting_differs;
    case ReferenceFault::instrument_differs:
      return Reason::reference_instrument_differs;
    case ReferenceFault::drifted:
      return Reason::reference_drifted;
  }
  return Reason::none;
}

/// Later, by what the records tell; nothing where they do not tell.
std::optional<bool> later(const Reading& a, const Reading& b) {
  if (!a.has_time || !b.has_time) return std::nullopt;
  const auto seconds = seconds_between(b.time, a.time);
  if (!seconds || *seconds == 0) return std::nullopt;
  return *seconds > 0;
}

Nanometres wavelength_of(const Reading& reading, const StrandPlan& plan, const ScheduledStrand& strand) {
  if (reading.wavelength.value <= 0 && plan.wavelengths.size() == 1) return plan.wavelengths.front();
  if (plan.rule == nullptr) return reading.wavelength;
  for (const WavelengthAlias& alias : plan.rule->aliases)
    if (strand.fibre && mode_of(*strand.fibre) == alias.mode && same(alias.found, reading.wavelength))
      return alias.counts_as;
  return reading.wavelength;
}

}  // namespace

Result<Done> StrandJudge::judge(std::uint32_t strand, std::span<const std::uint32_t> readings) {
  strand_index_ = strand;
  strand_ = &context_.schedule[strand];
  const Result<StrandPlan> plan = plan_of(*strand_, context_.rulebook, context_.settings.plan);
  if (!plan) return plan.problem();
  plan_slots(*plan, readings);
  for (std::size_t slot = 0; slot < slots_used_; ++slot) tests.push_back(judged_slot(*plan, slot));
  return Done{};
}

void StrandJudge::leave(std::uint32_t reading, const char* why) {
  unmatched.push_back({reading, why, {}, {}});
}

void StrandJudge::place(const StrandPlan& plan, std::uint32_t index) {
  const Reading& reading = context_.readings[index];
  const Nanometres wavelength = wavelength_of(reading, plan, *strand_);
  const bool planned =
      plan.as_observed || std::any_of(plan.wavelengths.begin(), plan.wavelengths.end(),
                                      [&](Nanometres each) { return same(each, wavelength); });
  if (!planned)
    return leave(index, wavelength.value > 0 ? "wavelength is not in the plan of this strand"
                                             : "wavelength is not stated");
  if (plan.directions == DirectionDemand::both && !reading.direction)
    return leave(index, "direction is not stated, and both are due");
  for (std::size_t i = 0; i < slots_used_; ++i) {
    Slot& slot = slots_[i];
    if (!same(slot.wavelength, wavelength) || slot.direction != reading.direction) continue;
    slot.readings.push_back(index);
    return;
  }
  if (slots_used_ == slots_.size()) slots_.emplace_back();
  Slot& fresh = slots_[slots_used_++];
  fresh.wavelength = wavelength;
  fresh.direction = reading.direction;
  fresh.readings.assign(1, index);
}

void StrandJudge::plan_slots(const StrandPlan& plan, std::span<const std::uint32_t> readings) {
  slots_used_ = 0;
  for (const std::uint32_t reading : readings) place(plan, reading);
  const auto add_missing = [this](Nanometres wavelength, std::optional<Direction> direction) {
    if (slots_used_ == slots_.size()) slots_.emplace_back();
    Slot& slot = slots_[slots_used_++];
    slot.wavelength = wavelength;
    slot.direction = direction;
    slot.readings.clear();
  };
  const auto has = [this](Nanometres wavelength, std::optional<Direction> direction) {
    return std::any_of(
        slots_.begin(), slots_.begin() + static_cast<std::ptrdiff_t>(slots_used_), [&](const Slot& slot) {
          return same(slot.wavelength, wavelength) && (!direction || slot.direction == direction);
        });
  };
  for (const Nanometres wavelength : plan.wavelengths) {
    if (plan.directions == DirectionDemand::either) {
      if (!has(wavelength, {})) add_missing(wavelength, {});
      continue;
    }
    for (const Direction direction : {Direction::a_to_b, Direction::b_to_a})
      if (!has(wavelength, direction)) add_missing(wavelength, direction);
  }
  if (plan.as_observed && slots_used_ == 0) add_missing({0}, {});
  std::sort(slots_.begin(), slots_.begin() + static_cast<std::ptrdiff_t>(slots_used_),
            [](const Slot& a, const Slot& b) {
              return a.wavelength != b.wavelength ? a.wavelength < b.wavelength : a.direction < b.direction;
            });
}

std::optional<ReferenceMethod> StrandJudge::method_for(const StrandPlan& plan,
                                                       std::uint32_t reference) const {
  if (reference != no_reference_row && context_.references[reference].method)
    return context_.references[reference].method;
  if (strand_->method) return strand_->method;
  if (context_.settings.plan.method) return context_.settings.plan.method;
  return plan.rule != nullptr ? plan.rule->reference_method_when_unstated : std::nullopt;
}

StrandJudge::Candidate StrandJudge::evaluate(std::uint32_t index, const StrandPlan& plan) const {
  const Reading& reading = context_.readings[index];
  Candidate candidate{index, Reason::none, {}, false, {}, {}};
  if (reading.kind == ReadingKind::power || !reading.reference.empty())
    candidate.match = context_.finder.find(reading);
  candidate.method = method_for(plan, candidate.match.reference);
  switch (reading.kind) {
    case ReadingKind::no_light:
      candidate.reason = Reason::no_light;
      return candidate;
    case ReadingKind::loss:
      candidate.loss = reading.loss();
      candidate.has_loss = true;
      break;
    case ReadingKind::power:
      candidate.reason = reason_of(candidate.match.fault);
      if (candidate.match.reference == no_reference_row) return candidate;
      candidate.loss = context_.references[candidate.match.reference].power - reading.power();
      candidate.has_loss = true;
      break;
  }
  if (!candidate.valid()) return candidate;
  if (!at_most(-context_.settings.gain_allowance, candidate.loss))
    candidate.reason = Reason::impossible_value;
  else if (strand_->method && candidate.method != strand_->method)
    candidate.reason = Reason::methods_differ;
  return candidate;
}

JudgedTest StrandJudge::judged_slot(const StrandPlan& plan, std::size_t index) {
  const Slot& slot = slots_[index];
  const std::vector<Reading>& rows = context_.readings;
  JudgedTest test;
  test.strand = strand_index_;
  test.wavelength = slot.wavelength;
  test.direction = slot.direction;
  std::optional<Candidate> counts;
  for (const std::uint32_t reading : slot.readings) {
    const Candidate next = evaluate(reading, plan);
    if (!counts) {
      counts = next;
      continue;
    }
    // A valid reading beats one that cannot count; then the later one; where no time tells, the greater loss.
    bool replaces = next.valid();
    if (next.valid() == counts->valid())
      replaces = later(rows[next.reading], rows[counts->reading]).value_or(counts->loss <= next.loss);
    if (replaces) counts = next;
  }
  const auto method = counts ? counts->method : method_for(plan, no_reference_row);
  const LimitIndex limit = limit_for(plan, slot.wavelength, method);
  test.limit = limit.limit;
  test.limit_problem = limit.problem;
  if (!counts) return test;
  test.other_readings = static_cast<std::uint32_t>(slot.readings.size() - 1);
  settle(test, *counts);
  return test;
}

void StrandJudge::settle(JudgedTest& test, const Candidate& counts) {
  test.reading = counts.reading;
  test.reference = counts.match.reference;
  test.reason = counts.reason;
  test.has_loss = counts.has_loss;
  test.loss = counts.loss;
  test.outcome = counts.reason == Reason::no_light ? Outcome::not_tested : Outcome::invalid;
  if (counts.has_loss) {
    const StandardUncertainty u = uncertainty_of(counts, test.wavelength);
    test.standard_uncertainty = u.combined;
    test.shared_uncertainty = u.shared;
  }
  if (!counts.valid()) return;
  if (test.limit == nothing) {
    test.reason = Reason::no_limit;
    return;
  }
  const Limit& limit = limits[test.limit];
  if (!limit.fixed && !limit.method_stated) {
    test.reason = Reason::method_unstated;
    return;
  }
  test.outcome = decide(test.loss, limit.value, test.standard_uncertainty, context_.settings.guard);
  test.conformance = conformance_probability(test.loss, limit.value, test.standard_uncertainty);
  settle_continuity(test);
}

/// A loss says nothing of a strand whose light comes out elsewhere. A reading taken after the light was
/// looked for shows that it was put right.
void StrandJudge::settle_continuity(JudgedTest& test) const {
  if (context_.continuity.strands.empty()) return;
  const StrandContinuity& found = context_.continuity.strands[strand_index_];
  if (found.state != Continuity::crossed && found.state != Continuity::dark) return;
  const Reading& reading = context_.readings[test.reading];
  const auto& looked = context_.light_paths[found.path].time;
  if (found.state == Continuity::dark && looked && reading.has_time &&
      seconds_between(*looked, reading.time).value_or(0) > 0)
    return;
  test.outcome = Outcome::fail;
  test.reason = found.state == Continuity::crossed ? Reason::light_crossed : Reason::light_lost;
  test.conformance = 0;
}

StandardUncertainty StrandJudge::uncertainty_of(const Candidate& counts, Nanometres wavelength) {
  const Reading& reading = context_.readings[counts.reading];
  if (!std::isnan(reading.standard_uncertainty_db)) return {{reading.standard_uncertainty_db}, {0}};
  // Where nothing tells the fibre's mode, the wider budget (multimode) is taken.
  const FibreMode mode = mode_of(*strand_, wavelength).value_or(FibreMode::multimode);
  const LossConditions at{mode,
                          wavelength,
                          counts.loss,
                          strand_->length.value_or(Metres{0}),
                          counts.match.meter_differs,
                          counts.match.change};
  return budget_at(mode, wavelength).of(at);
}

const UncertaintyBudget& StrandJudge::budget_at(FibreMode mode, Nanometres wavelength) {
  for (const auto& held : budgets_)
    if (held->mode == mode && held->wavelength == wavelength) return held->budget;
  budgets_.push_back(std::make_unique<HeldBudget>(
      HeldBudget{mode, wavelength, UncertaintyBudget(context_.settings.uncertainty, mode, wavelength)}));
  return budgets_.back()->budget;
}

}  // namespace strandbook
