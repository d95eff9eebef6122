#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "domain/diagnosis/judged_splices.hpp"
#include "domain/link/same_window.hpp"
#include "domain/plan/strand_index.hpp"
#include "domain/verdict/strand_tests.hpp"

namespace strandbook {
namespace {

// A sum from one side holds what unlike fibres add there (0.06 dB a joint of one make; two ends and some
// splices), and each end is a connection of its own mating; k = 1, own judgement.
constexpr double one_side_db = 0.12;

/// Both that were taken and those that came later in the book: the latest counts.
std::vector<std::uint32_t> by_time(const Assessment& all, std::vector<std::uint32_t> traces) {
  // In the order of the book; those without a time come before all that have one.
  const auto moment = [&](std::uint32_t at) {
    const auto& taken = all.traces[at].taken;
    return taken ? taken->seconds : std::numeric_limits<std::int64_t>::min();
  };
  std::sort(traces.begin(), traces.end(), [&](std::uint32_t a, std::uint32_t b) {
    return std::pair(moment(a), a) < std::pair(moment(b), b);
  });
  return traces;
}

/// What the meter saw of the strand at any wavelength.
MeterLight light_in(const Assessment& all, std::uint32_t strand) {
  MeterLight light = MeterLight::unknown;
  for (const JudgedTest& test : tests_of(all, strand)) {
    if (test.has_loss && test.judged()) return MeterLight::through;
    if (test.reason == Reason::no_light || test.reason == Reason::light_lost) light = MeterLight::dark;
  }
  return light;
}

void see_both(const Assessment& all, JudgedTraces& judged) {
  for (const std::uint32_t at : judged.traces)
    (all.traces[at].from() == Direction::a_to_b ? judged.from_a : judged.from_b) = at;
  const HeldTrace* a = judged.from_a == nothing ? nullptr : &all.traces[judged.from_a];
  const HeldTrace* b = judged.from_b == nothing ? nullptr : &all.traces[judged.from_b];
  const std::optional<Metres>& scheduled = all.schedule[judged.strand].length;
  if (scheduled) judged.broken = broken_fibre(a, b, *scheduled, light_in(all, judged.strand));
  if (judged.broken)
    judged.seen = judged.broken->seen;
  else
    judged.seen = a != nullptr && b != nullptr ? both_ways(*a, *b) : one_way(a != nullptr ? *a : *b);
  judged.near_end_measured =
      (a != nullptr && a->seen.near_end_measured) || (b != nullptr && b->seen.far_end_measured);
  judged.far_end_measured =
      (a != nullptr && a->seen.far_end_measured) || (b != nullptr && b->seen.near_end_measured);
}

/// The strand's worst loss by meter in this window.
std::uint32_t meter_of(const Assessment& all, const JudgedTraces& judged) {
  std::uint32_t worst = nothing;
  for (const JudgedTest& test : tests_of(all, judged.strand)) {
    if (!test.has_loss || !test.judged() || !same_window(test.wavelength, judged.wavelength)) continue;
    if (worst == nothing || all.tests[worst].loss < test.loss)
      worst = static_cast<std::uint32_t>(&test - all.tests.data());
  }
  return worst;
}

void hold_against_meter(const Assessment& all, JudgedTraces& judged) {
  judged.test = meter_of(all, judged);
  if (judged.test == nothing) {
    judged.agreement.words =
        "The meter has no loss for this strand at this wavelength: the trace alone certifies nothing.";
    return;
  }
  const JudgedTest& test = all.tests[judged.test];
  MeterQuestion question;
  question.meter_loss = test.loss;
  if (test.limit != nothing) question.limit = all.limits[test.limit].value;
  for (const std::uint32_t at : {judged.from_a, judged.from_b}) {
    if (at == nothing) continue;
    const TraceLink& seen = all.traces[at].seen;
    if (seen.loss) (at == judged.from_a ? question.trace_a : question.trace_b) = Decibels{seen.loss->value};
    question.unseen_connections = std::max(
        question.unseen_connections, (seen.near_end_measured ? 0 : 1) + (seen.far_end_measured ? 0 : 1));
  }
  const bool one_side = !question.trace_a || !question.trace_b;
  const double u = judged.seen.loss ? judged.seen.loss->standard_uncertainty : 0;
  const double combined = std::hypot(test.standard_uncertainty.value, u, one_side ? one_side_db : 0.0);
  question.tolerance = std::max(question.tolerance, Decibels{2 * combined});
  judged.agreement = compare_with_meter(question);
}

const HeldTrace& first_of(const Assessment& all, const JudgedTraces& judged) {
  return all.traces[judged.from_a == nothing ? judged.from_b : judged.from_a];
}

JudgedTraces judged(const Assessment& all, JudgedTraces judged, const SpliceAttempts& attempts,
                    const TraceDemands& demands) {
  const ScheduledStrand& strand = all.schedule[judged.strand];
  judged.traces = by_time(all, std::move(judged.traces));
  see_both(all, judged);
  judge_splices(all, attempts, demands.splices, judged);
  if (judged.broken) {
    judged.agreement.words = judged.broken->words;
    return judged;
  }
  hold_against_meter(all, judged);
  const HeldTrace& first = first_of(all, judged);
  if (strand.length && first.end == EndState::found)
    judged.length_note = compare_lengths(judged.seen.length, *strand.length, first.index.value);
  return judged;
}

/// A bend loses far more at the longer wavelength, in single-mode fibre. What was said of splices stays: a
/// joint beyond its limit is one, bent or not.
void tell_bends(const Assessment& all, std::vector<JudgedTraces>& groups) {
  std::size_t first = 0;  // of one strand the shortest window stands first
  for (std::size_t i = 1; i < groups.size(); ++i) {
    JudgedTraces& longer = groups[i];
    if (groups[first].strand != longer.strand) first = i;
    const JudgedTraces& shorter = groups[first];
    if (first == i || mode_tested_at(shorter.wavelength) == FibreMode::multimode) continue;
    Decibels unseen;
    for (const std::uint32_t at : {shorter.from_a, shorter.from_b})
      if (at != nothing) unseen = std::max(unseen, all.traces[at].detectable);
    const double apart = std::abs(shorter.seen.length.value - longer.seen.length.value);
    const Metres gate{event_gate(first_of(all, shorter), first_of(all, longer)).value + apart};
    mark_bends(shorter.seen.events, {gate, unseen}, longer.seen.events);
  }
}

}  // namespace

std::vector<JudgedTraces> judge_traces(const Assessment& all, const TraceDemands& demands) {
  std::vector<JudgedTraces> groups;
  std::vector<std::uint32_t> order;
  for (std::uint32_t at = 0; at < all.traces.size(); ++at)
    if (all.trace_strands[at] != no_strand) order.push_back(at);
  std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    if (all.trace_strands[a] != all.trace_strands[b]) return all.trace_strands[a] < all.trace_strands[b];
    return all.traces[a].wavelength < all.traces[b].wavelength;
  });
  for (const std::uint32_t at : order) {
    if (groups.empty() || groups.back().strand != all.trace_strands[at] ||
        !same_window(groups.back().wavelength, all.traces[at].wavelength)) {
      groups.emplace_back();
      groups.back().strand = all.trace_strands[at];
      groups.back().wavelength = all.traces[at].wavelength;
    }
    groups.back().traces.push_back(at);
  }
  const SpliceAttempts attempts(all);
  for (JudgedTraces& group : groups) group = judged(all, std::move(group), attempts, demands);
  tell_bends(all, groups);
  return groups;
}

std::vector<Problem> unplaced_traces(const Assessment& all) {
  std::vector<Problem> unplaced;
  for (std::size_t at = 0; at < all.traces.size(); ++at)
    if (const HeldTrace& trace = all.traces[at]; all.trace_strands[at] == no_strand)
      unplaced.push_back({trace.at,
                          fmt::format("a trace of cable \"{}\", fibre \"{}\"", trace.link, trace.strand),
                          "a strand of the schedule",
                          "Bring the file in again with a pattern of its name, such as "
                          "{link}_{strand}_{direction}. The file "
                          "is kept."});
  return unplaced;
}

}  // namespace strandbook
