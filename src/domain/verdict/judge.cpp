#include "domain/verdict/judge.hpp"

#include <algorithm>
#include <thread>

#include "domain/verdict/batch.hpp"
#include "domain/verdict/match.hpp"
#include "domain/verdict/strand_judge.hpp"

namespace strandbook {
namespace {

/// One worker's share: strands first .. last − 1.
struct Share {
  std::uint32_t first = 0;
  std::uint32_t last = 0;
  StrandJudge judge;
  std::optional<Problem> problem;
};

void work(Share& share, const ByStrand& groups, std::size_t room) {
  share.judge.tests.reserve(room);
  for (std::uint32_t strand = share.first; strand < share.last; ++strand) {
    const std::span readings(groups.order.data() + groups.starts[strand],
                             groups.starts[strand + 1] - groups.starts[strand]);
    const Result<Done> done = share.judge.judge(strand, readings);
    if (done) continue;
    share.problem = done.problem();
    return;
  }
}

std::vector<Share> shares_of(const JudgeContext& context) {
  const auto strands = static_cast<std::uint32_t>(context.schedule.size());
  // Below a few thousand strands a second thread costs more than it saves.
  const unsigned workers = strands < 4096 ? 1 : std::max(1U, context.settings.workers);
  std::vector<Share> shares;
  for (unsigned i = 0; i < workers; ++i) {
    const auto bound = [&](unsigned n) {
      return static_cast<std::uint32_t>(std::uint64_t{strands} * n / workers);
    };
    shares.push_back({bound(i), bound(i + 1), StrandJudge(context), {}});
  }
  return shares;
}

template <class T>
void move_to_end(std::vector<T>& all, std::vector<T>& part) {
  if (all.empty()) {
    all = std::move(part);
    return;
  }
  all.insert(all.end(), std::make_move_iterator(part.begin()), std::make_move_iterator(part.end()));
  part = {};
}

/// Adds a share's results; its indices move behind those already there.
void gather(Assessment& all, StrandJudge& part) {
  const auto limits = static_cast<std::uint32_t>(all.limits.size());
  const auto problems = static_cast<std::uint32_t>(all.limit_problems.size());
  if (limits + problems > 0)
    for (JudgedTest& test : part.tests) {
      if (test.limit != nothing) test.limit += limits;
      if (test.limit_problem != nothing) test.limit_problem += problems;
    }
  move_to_end(all.tests, part.tests);
  move_to_end(all.limits, part.limits);
  move_to_end(all.limit_problems, part.limit_problems);
  move_to_end(all.unmatched, part.unmatched);
}

std::vector<const RuleSet*> rules_used(const Schedule& schedule, const Rulebook& rulebook,
                                       const RuleSet* job_rule) {
  std::vector<const RuleSet*> used;
  const auto add = [&used](const RuleSet* rule) {
    if (rule != nullptr && std::find(used.begin(), used.end(), rule) == used.end()) used.push_back(rule);
  };
  const std::string* previous = nullptr;
  for (const ScheduledStrand& strand : schedule) {
    if (previous != nullptr && *previous == strand.rule) continue;
    previous = &strand.rule;
    add(strand.rule.empty() ? job_rule : find_rule(rulebook, strand.rule));
  }
  return used;
}

Result<Done> judge_strands(const JudgeContext& context, const ByStrand& groups, Assessment& assessment) {
  std::vector<Share> shares = shares_of(context);
  // Most readings are a test of their own; a strand without any has a few.
  const auto room = [&groups](std::uint32_t first, std::uint32_t last) {
    return groups.starts[last] - groups.starts[first] + 2 * (last - first);
  };
  std::vector<std::thread> threads;
  for (std::size_t i = 1; i < shares.size(); ++i)
    threads.emplace_back([&, i] { work(shares[i], groups, room(shares[i].first, shares[i].last)); });
  // The first share's tests grow into those of the whole job.
  work(shares.front(), groups, room(0, shares.back().last));
  for (std::thread& thread : threads) thread.join();
  for (const Share& share : shares)
    if (share.problem) return *share.problem;
  for (Share& share : shares) gather(assessment, share.judge);
  return Done{};
}

/// The strand of each trace by its names, as written or but for case and blanks.
std::vector<std::uint32_t> strands_of_traces(const Schedule& schedule, const std::vector<HeldTrace>& traces) {
  std::vector<std::uint32_t> strands;
  if (traces.empty()) return strands;
  const StrandIndex index(schedule);
  std::optional<NameGuesser> guesser;
  for (const HeldTrace& trace : traces) {
    strands.push_back(index.find(trace.link, trace.strand));
    if (strands.back() != no_strand) continue;
    if (!guesser) guesser.emplace(schedule);
    const NameMatch match = guesser->guess(trace.link, trace.strand);
    if (match.repairs == 0) strands.back() = match.strand;
  }
  return strands;
}

}  // namespace

Result<Assessment> judge(JobInput input, const Rulebook& rulebook, const JudgeSettings& settings) {
  const ReferenceFinder finder(input.references, settings.references);
  Matched matched = match_readings(input.schedule, input.readings, settings.confirmed_repairs);
  const ByStrand groups = group_by_strand(matched.strand_of, input.schedule.size());

  Assessment assessment;
  assessment.guard = settings.guard;
  assessment.unmatched = std::move(matched.unmatched);
  assessment.tidied = std::move(matched.tidied);
  assessment.strand_of = std::move(matched.strand_of);
  assessment.records = std::move(input.records);
  assessment.continuity = continuity_of(input.schedule, assessment.records.light_paths);
  assessment.trace_strands = strands_of_traces(input.schedule, input.traces);
  assessment.traces = std::move(input.traces);
  const JudgeContext context{input.schedule,
                             input.references,
                             input.readings.rows,
                             rulebook,
                             settings,
                             finder,
                             assessment.records.light_paths,
                             assessment.continuity};
  const Result<Done> done = judge_strands(context, groups, assessment);
  if (!done) return done.problem();
  std::sort(assessment.unmatched.begin(), assessment.unmatched.end(),
            [](const UnmatchedReading& a, const UnmatchedReading& b) { return a.reading < b.reading; });
  void_disproved_references(assessment.tests, input.references.size());
  assessment.rules = rules_used(input.schedule, rulebook, settings.plan.rule);
  for (const JudgedTest& test : assessment.tests)
    ++assessment.summary.by_outcome[static_cast<std::size_t>(test.outcome)];
  assessment.summary.planned = assessment.tests.size();
  assessment.schedule = std::move(input.schedule);
  assessment.references = std::move(input.references);
  assessment.readings = std::move(input.readings);
  return assessment;
}

}  // namespace strandbook
