#include "workflow/audit_sample.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "edge/exchange/sampling_file.hpp"
#include "edge/signing/sha256.hpp"
#include "workflow/know_rules.hpp"
#include "workflow/recorded_job.hpp"

namespace strandbook {
namespace {

struct ChosenPlan {
  SamplingPlan plan;
  std::string how;
  std::string source;
  std::optional<double> good;
};

Result<ChosenPlan> plan_by_table(const SampleWish& wish, std::uint32_t lot) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  const Result<SamplingScheme> scheme = read_sampling_scheme(*folder + "/mil-std-105e/sampling-plans.json");
  if (!scheme) return scheme.problem();
  const Result<SchemePlan> plan = plan_from(*scheme, {lot, wish.level, wish.severity, *wish.aql_percent});
  if (!plan) return plan.problem();
  return ChosenPlan{
      plan->plan,
      fmt::format("single sampling, level {}, {} inspection, AQL {:g} %, letter {}, plan of letter {}",
                  text_of(wish.level), text_of(wish.severity), *wish.aql_percent, plan->letter,
                  plan->plan_letter),
      describe(plan->source), *wish.aql_percent / 100};
}

Result<ChosenPlan> plan_by_points(const SampleWish& wish, std::uint32_t lot) {
  if (!wish.good)
    return ChosenPlan{{zero_failure_size(lot, *wish.poor, wish.consumer_risk), 0},
                      fmt::format("no bad unit: a lot with {:g} % of them is accepted with at most {:g} %",
                                  *wish.poor * 100, wish.consumer_risk * 100),
                      "",
                      std::nullopt};
  const auto plan = smallest_plan({*wish.good, wish.producer_risk, *wish.poor, wish.consumer_risk}, lot);
  if (!plan)
    return Problem{{"--good", {}, 0, {}},
                   fmt::format("{:g} % and {:g} % of {} units", *wish.good * 100, *wish.poor * 100, lot),
                   "a good share that is below the poor one by at least a unit of the lot",
                   "Set the two shares further apart."};
  return ChosenPlan{
      *plan,
      fmt::format(
          "smallest plan: {:g} % bad is accepted with at least {:g} %, {:g} % bad with at most {:g} %",
          *wish.good * 100, (1 - wish.producer_risk) * 100, *wish.poor * 100, wish.consumer_risk * 100),
      "", wish.good};
}

}  // namespace

std::vector<UnitName> draw_units(const std::vector<UnitName>& units, const std::string& seed,
                                 std::size_t size) {
  std::vector<std::pair<Sha256, std::size_t>> order;
  for (std::size_t i = 0; i < units.size(); ++i)
    order.emplace_back(sha256(seed + "\t" + units[i].link + "\t" + units[i].strand), i);
  std::sort(order.begin(), order.end());
  order.resize(std::min(size, order.size()));
  std::sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  std::vector<UnitName> drawn;
  drawn.reserve(order.size());
  for (const auto& [hash, index] : order) drawn.push_back(units[index]);
  return drawn;
}

Result<DrawnSample> draw_sample(const RecordedJob& job, const SampleWish& wish) {
  const std::vector<UnitName> units = units_of(job, wish.unit);
  const auto lot = static_cast<std::uint32_t>(units.size());
  if (lot < 2)
    return Problem{{job.source, {}, 0, {}},
                   fmt::format("{} units in the record", lot),
                   "at least 2",
                   "With one unit there is nothing to draw: measure it."};
  const Result<ChosenPlan> chosen = wish.aql_percent ? plan_by_table(wish, lot) : plan_by_points(wish, lot);
  if (!chosen) return chosen.problem();
  DrawnSample sample;
  sample.seed = wish.seed;
  sample.unit = wish.unit;
  sample.lot = lot;
  sample.plan = {std::min(chosen->plan.size, lot), chosen->plan.accept};
  sample.how = chosen->how;
  sample.source = chosen->source;
  sample.good = chosen->good;
  sample.accepted_at_good =
      chosen->good ? acceptance_probability(sample.plan, lot, bad_units(lot, *chosen->good)) : 1;
  sample.poor_10 = share_accepted_with(sample.plan, lot, 0.1);
  sample.units = draw_units(units, wish.seed, sample.plan.size);
  return sample;
}

Result<AuditWork> audit_job(const std::string& sample, const std::string& recorded,
                            const std::string& measured) {
  Result<DrawnSample> drawn = read_sample(sample);
  if (!drawn) return drawn.problem();
  Result<RecordedJob> before = recorded_job(recorded);
  if (!before) return before.problem();
  Result<RecordedJob> after = recorded_job(measured);
  if (!after) return after.problem();
  const std::vector<UnitName> units = units_of(*before, drawn->unit);
  if (units.size() != drawn->lot || draw_units(units, drawn->seed, drawn->plan.size) != drawn->units)
    return Problem{{sample, {}, 0, {}},
                   "a sample that its seed does not draw from this record",
                   "the sample and the record as they were",
                   "Draw again from the record that was handed in, or ask why it was changed."};
  AuditWork work{std::move(*drawn), std::move(*before), std::move(*after), {}};
  work.judged = judge_audit({work.recorded, work.measured, work.sample.units, work.sample.unit,
                             work.sample.plan, work.sample.lot, 0.95},
                            {});
  return work;
}

}  // namespace strandbook
