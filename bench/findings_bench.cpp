// Findings of a large job at once, and kept up reading by reading. bench/run findings

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "domain/diagnosis/find.hpp"
#include "domain/verdict/live_judgement.hpp"
#include "edge/exchange/practice_file.hpp"
#include "simulated_job.hpp"

namespace strandbook {
namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

struct Ground {
  Rulebook rulebook{simulated_rule()};
  JudgeSettings judging;
  FindingSettings finding;
};

/// Seconds for the findings of so many readings, the best of three.
double at_once(const Ground& ground, std::size_t readings) {
  SimulatedJob job = simulate(Fault::none, readings / 4, 7);
  const Result<Assessment> all = judge(std::move(job.input), ground.rulebook, ground.judging);
  double best = 1e9;
  for (int round = 0; round < 3; ++round) {
    const auto start = Clock::now();
    const std::size_t found = find_causes(*all, ground.finding).size();
    best = std::min(best, seconds_since(start));
    if (round == 0) fmt::print("  {} readings: {} findings\n", all->readings.rows.size(), found);
  }
  return best;
}

/// Time of the processor: other work on the machine does not count as ours.
struct Updates {
  double median_ms = 0;
  double worst_ms = 0;
};

/// Readings added one by one to a job of so many; only the findings are timed.
Updates one_by_one(const Ground& ground, std::size_t readings) {
  SimulatedJob job = simulate(Fault::none, readings / 4, 7);
  constexpr std::size_t added = 400;
  std::vector<Reading> last(job.input.readings.rows.end() - added, job.input.readings.rows.end());
  job.input.readings.rows.resize(job.input.readings.rows.size() - added);
  auto live = LiveJudgement::begin(std::move(job.input), ground.rulebook, ground.judging);
  FindingEngine engine(ground.finding);
  engine.examine((*live)->all());
  std::vector<double> ms;
  for (const Reading& each : last) {
    const Result<JudgementChange> change = (*live)->add(each);
    const std::clock_t start = std::clock();
    if (change->whole)
      engine.examine((*live)->all());
    else
      engine.examine((*live)->all(), change->strands);
    ms.push_back(1000.0 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
  }
  std::sort(ms.begin(), ms.end());
  return {ms[ms.size() / 2], ms.back()};
}

int run(int count, char** arguments) {
  const std::size_t readings = count > 2 ? std::strtoull(arguments[2], nullptr, 10) : 1'000'000;
  const Result<Practice> practice = read_practice(std::string(arguments[1]) + "/practice");
  if (!practice) return 2;
  Ground ground;
  ground.judging.plan.rule = &ground.rulebook.front();
  ground.judging.plan.method = ReferenceMethod::one_cord;
  ground.judging.gain_allowance = practice->gain_allowance;
  ground.judging.references = practice->references;
  ground.judging.uncertainty = practice->uncertainty;
  ground.finding = {practice->references, practice->diagnosis};
  const double tenth = at_once(ground, readings / 10);
  const double whole = at_once(ground, readings);
  const Updates updates = one_by_one(ground, 100'000);
  fmt::print(
      "seconds={:.3f} tenth_seconds={:.3f} growth={:.2f} update_median_cpu_ms={:.3f} "
      "update_worst_cpu_ms={:.3f}\n",
      whole, tenth, whole / tenth / 10, updates.median_ms, updates.worst_ms);
  return 0;
}

}  // namespace
}  // namespace strandbook

int main(int count, char** arguments) {
  if (count < 2) {
    fmt::print(stderr, "usage: bench-findings RULES [READINGS]\n");
    return 2;
  }
  return strandbook::run(count, arguments);
}
