// Detection and false-alarm rates on simulated jobs of known truth, as a table. bench/run findings-score SEED

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <set>
#include <string>

#include "domain/diagnosis/find.hpp"
#include "edge/exchange/practice_file.hpp"
#include "simulated_job.hpp"

namespace strandbook {
namespace {

/// Kinds that say what is wrong in jobs with this fault; the first is the one wanted, the others are as true.
std::set<std::string> kinds_for(Fault fault) {
  switch (fault) {
    case Fault::none:
      return {};
    case Fault::reference_one_wavelength:
    case Fault::reference_earlier:
    case Fault::reference_other_direction:
      return {"reference-offset", "reference-disproved", "reference-cords"};
    case Fault::reference_closing:
      return {"reference-drift", "reference-disproved", "reference-offset"};
    case Fault::reference_unknowable:
      return {"reference-unproven", "reference-disproved", "reference-cords", "reference-offset",
              "level-unusual"};
    case Fault::cords:
      return {"reference-cords", "reference-disproved", "reference-unproven"};
    case Fault::step:
    case Fault::drift:
      return {"reference-shift", "reference-offset"};
    case Fault::bend:
      return {"bend"};
    case Fault::exchanged_link:
    case Fault::exchanged_strand:
      return {"wavelengths-exchanged", "below-fibre"};
    case Fault::dirty_strand:
      return {"strand-unlike"};
    case Fault::crossed:
      return {"crossed"};
    case Fault::mixed_cores:
      return {"direction-differs"};
    case Fault::bad_panel:
      return {"shared-cause", "strand-unlike", "reference-offset"};
    case Fault::stuck_meter:
      return {"readings-alike"};
    case Fault::copied:
      return {"readings-copied", "below-fibre", "reference-shift"};
    case Fault::limit_count:
      return {"limit-count", "shared-cause"};
    case Fault::headroom:
      return {"headroom", "below-fibre", "wavelengths-exchanged"};
    case Fault::sign:
      return {"loss-sign"};
    case Fault::level_for_loss:
      return {"level-for-loss"};
    case Fault::feet:
      return {"length-units"};
    case Fault::impossible_pace:
      return {"pace"};
    case Fault::selection:
      return {"repeat-selection", "repeated-readings"};
    case Fault::misspelt:
      return {"names"};
  }
  return {};
}
const std::map<Fault, std::string> wanted{{Fault::reference_unknowable, "reference-unproven"},
                                          {Fault::cords, "reference-cords"},
                                          {Fault::step, "reference-shift"},
                                          {Fault::drift, "reference-shift"},
                                          {Fault::exchanged_link, "wavelengths-exchanged"},
                                          {Fault::exchanged_strand, "wavelengths-exchanged"},
                                          {Fault::bad_panel, "shared-cause"},
                                          {Fault::limit_count, "limit-count"},
                                          {Fault::headroom, "headroom"},
                                          {Fault::selection, "repeat-selection"},
                                          {Fault::copied, "readings-copied"}};

/// Asks for a measurement and shows nothing to be wrong: true of every reference without a closing check.
bool only_asks(const Finding& finding) {
  return finding.kind == "reference-unproven" || finding.kind == "missing-tests";
}

/// Whether the finding is about the fault: its reference, strand or link.
bool hits(const Finding& finding, const SimulatedJob& job, const Assessment& all) {
  const auto kinds = kinds_for(job.fault);
  const auto want = wanted.find(job.fault);
  if (want != wanted.end() ? finding.kind != want->second &&
                                 !(finding.kind == "reference-disproved" && kinds.contains(finding.kind))
                           : !kinds.contains(finding.kind))
    return false;
  if (job.wrong_reference != nothing && finding.kind.starts_with("reference-"))
    return std::any_of(finding.tests.begin(), finding.tests.end(), [&](std::uint32_t i) {
      return all.tests[i].reference != nothing &&
             all.references[all.tests[i].reference].id == all.references[job.wrong_reference].id;
    });
  if (job.strand != nothing)
    return std::any_of(finding.tests.begin(), finding.tests.end(),
                       [&](std::uint32_t i) { return all.tests[i].strand == job.strand; });
  return true;
}

struct Score {
  int jobs = 0;
  int found = 0;
  int false_findings = 0;
};

class Scorer {
 public:
  Scorer(const std::string& rules, std::uint64_t seed, bool talk) : seed_(seed), talk_(talk) {
    const Result<Practice> practice = read_practice(rules + "/practice");
    if (!practice) {
      fmt::print(stderr, "{}\n", describe(practice.problem()));
      std::exit(2);
    }
    settings_.gain_allowance = practice->gain_allowance;
    settings_.references = practice->references;
    settings_.uncertainty = practice->uncertainty;
    finding_settings_ = {practice->references, practice->diagnosis};
    rulebook_.push_back(simulated_rule());
    settings_.plan.rule = &rulebook_.front();
    settings_.plan.method = ReferenceMethod::one_cord;
  }

  Score score(Fault fault, int jobs, std::size_t strands) {
    Score score;
    for (int i = 0; i < jobs; ++i) one(fault, strands, seed_ * 1000 + static_cast<std::uint64_t>(i), score);
    return score;
  }

 private:
  void one(Fault fault, std::size_t strands, std::uint64_t seed, Score& score) {
    SimulatedJob job = simulate(fault, strands, seed);
    const Result<Assessment> all = judge(std::move(job.input), rulebook_, settings_);
    ++score.jobs;
    bool found = false;
    const auto kinds = kinds_for(fault);
    for (const Finding& finding : find_causes(*all, finding_settings_)) {
      const bool hit = hits(finding, job, *all);
      found = found || hit;
      const bool foreign = !hit && !kinds.contains(finding.kind) && !only_asks(finding);
      if (foreign) ++score.false_findings;
      if (talk_)
        fmt::print("    {} {} {}: {} p={}\n",
                   hit       ? "hit"
                   : foreign ? "FALSE"
                             : "-",
                   seed, finding.kind, finding.summary, finding.chance.value_or(0));
    }
    if (talk_ && !found && fault != Fault::none) fmt::print("    MISSED {}\n", seed);
    if (found) ++score.found;
  }

  std::uint64_t seed_;
  bool talk_;
  JudgeSettings settings_;
  FindingSettings finding_settings_;
  Rulebook rulebook_;
};

int run(int count, char** arguments) {
  const std::uint64_t seed = std::strtoull(arguments[2], nullptr, 10);
  const int jobs = count > 3 ? std::atoi(arguments[3]) : 200;
  const int only = count > 4 ? std::atoi(arguments[4]) : -1;
  Scorer scorer(arguments[1], seed, only >= 0);
  fmt::print("| what is wrong | jobs | found | false findings |\n|---|---|---|---|\n");
  int knowable = 0;
  int known = 0;
  int clean_false = 0;
  for (int i = 0; i < fault_count; ++i) {
    if (only >= 0 && i != only) continue;
    const auto fault = static_cast<Fault>(i);
    const Score score = scorer.score(fault, fault == Fault::none ? std::max(jobs, 50) : jobs,
                                     fault == Fault::none ? 1000 : 480);
    fmt::print("| {} | {} | {} | {} |\n", text_of(fault), score.jobs,
               fault == Fault::none ? "" : fmt::format("{:.1f} %", 100.0 * score.found / score.jobs),
               score.false_findings);
    std::fflush(stdout);
    if (fault == Fault::none) clean_false = score.false_findings;
    if (fault >= Fault::reference_one_wavelength && fault <= Fault::reference_closing) {
      knowable += score.jobs;
      known += score.found;
    }
  }
  if (only < 0)
    fmt::print("wrong_reference_found={:.3f} false_in_clean_jobs={}\n", static_cast<double>(known) / knowable,
               clean_false);
  return 0;
}

}  // namespace
}  // namespace strandbook

int main(int count, char** arguments) {
  if (count < 3) {
    fmt::print(stderr, "usage: findings-score RULES SEED [JOBS [FAULT]]\n");
    return 2;
  }
  return strandbook::run(count, arguments);
}
