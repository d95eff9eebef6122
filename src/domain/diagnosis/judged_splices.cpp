#include "domain/diagnosis/judged_splices.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

constexpr double sheath_share = 0.02;

std::string key_of(const std::string& link, const std::string& strand) { return link + '\x1f' + strand; }

/// How one splice was made, as far as it is recorded.
struct Making {
  int attempts = 1;  ///< up to the one that was traced
  int latest = 1;
  std::optional<SpliceMethod> method;
  bool again_since() const { return latest > attempts; }
};

bool is_step(const TwoWayEvent& event) {
  return event.kind == EventKind::loss || event.kind == EventKind::gain;
}

/// A mechanical splice may reflect, a fused one does not.
bool may_be(const TwoWayEvent& event, const SpliceAttempt& attempt) {
  return is_step(event) ||
         (event.kind == EventKind::reflective && attempt.method == SpliceMethod::mechanical);
}

std::size_t nearest(const std::vector<TwoWayEvent>& events, const SpliceAttempt& attempt, Metres gate) {
  std::size_t best = events.size();
  double least = gate.value;
  for (std::size_t i = 0; i < events.size(); ++i) {
    const double apart = std::abs(events[i].position.value - attempt.from_a.value);
    if (apart > least || !may_be(events[i], attempt)) continue;
    least = apart;
    best = i;
  }
  return best;
}

bool is_after(const std::optional<Instant>& made, const std::optional<Instant>& traced) {
  if (!made || !traced || !made->dated || !traced->dated) return false;
  if (!made->timed || !traced->timed) return day_of(*made).seconds > day_of(*traced).seconds;
  return made->seconds > traced->seconds;
}

/// When what is seen was traced: by the earlier of the traces that count.
std::optional<Instant> traced_at(const Assessment& all, const JudgedTraces& judged) {
  std::optional<Instant> earliest;
  for (const std::uint32_t at : {judged.from_a, judged.from_b}) {
    if (at == nothing) continue;
    const std::optional<Instant>& taken = all.traces[at].taken;
    if (!taken) return std::nullopt;
    if (!earliest || is_after(earliest, taken)) earliest = taken;
  }
  return earliest;
}

Metres attempt_gate(const Assessment& all, const JudgedTraces& judged) {
  const std::uint32_t a = judged.from_a == nothing ? judged.from_b : judged.from_a;
  const std::uint32_t b = judged.from_b == nothing ? judged.from_a : judged.from_b;
  return {event_gate(all.traces[a], all.traces[b]).value + sheath_share * judged.seen.length.value};
}

/// One beside each event.
std::vector<Making> makings(const Assessment& all, const JudgedTraces& judged,
                            const std::vector<const SpliceAttempt*>& attempts) {
  std::vector<Making> made(judged.seen.events.size());
  const Metres gate = attempt_gate(all, judged);
  const std::optional<Instant> traced = traced_at(all, judged);
  for (const SpliceAttempt* attempt : attempts) {
    const std::size_t at = nearest(judged.seen.events, *attempt, gate);
    if (at == made.size()) continue;
    Making& making = made[at];
    making.latest = std::max(making.latest, attempt->attempt);
    if (!is_after(attempt->time, traced)) making.attempts = std::max(making.attempts, attempt->attempt);
    if (attempt->method) making.method = attempt->method;
  }
  return made;
}

SpliceQuestion question_of(const ScheduledStrand& strand, const std::vector<SpliceDemand>& demands,
                           Nanometres wavelength) {
  SpliceQuestion question;
  question.wavelength = demanded_wavelength(demands, wavelength);
  question.mode = strand.fibre ? mode_of(*strand.fibre) : FibreMode::single_mode;
  return question;
}

JudgedSplice judged_splice(const TwoWayEvent& event, const std::vector<SpliceDemand>& demands,
                           SpliceQuestion question, const Making& making) {
  question.attempts = making.attempts;
  if (making.method) question.method = *making.method;
  JudgedSplice judged = judge_splice(event, demands, question);
  judged.attempts = making.latest;
  if (!making.again_since()) return judged;
  judged.verdict = SpliceVerdict::open;
  judged.made_again = true;
  judged.reason = fmt::format("made again (attempt {}) after it was traced: trace it anew", making.latest);
  return judged;
}

/// The mean over the span. Splices too small to be seen lower it: above the limit it is only where it stays
/// so with the scheduled number of splices, those unseen losing nothing.
std::optional<JudgedSpan> judged_span(const ScheduledStrand& strand, const std::vector<SpliceDemand>& demands,
                                      const JudgedTraces& judged) {
  SpliceQuestion question = question_of(strand, demands, judged.wavelength);
  question.count = SpliceCount::span_mean;
  question.measure = SpliceMeasure::two_way_mean;
  const std::optional<SpliceLimit> limit = splice_limit(demands, question);
  if (!limit) return std::nullopt;
  JudgedSpan span{SpliceVerdict::open, limit->limit, {}, 0};
  double sum = 0;
  for (const TwoWayEvent& event : judged.seen.events) {
    if (!is_step(event) || !event.mean) continue;
    sum += event.mean->value;
    ++span.splices;
  }
  if (span.splices == 0) return span;
  const double seen = static_cast<double>(span.splices);
  span.mean = Decibels{sum / seen};
  const double all = std::max(seen, static_cast<double>(strand.splices.value_or(0)));
  if (at_most(*span.mean, limit->limit.value)) span.verdict = SpliceVerdict::within;
  if (!at_most({sum / all}, limit->limit.value)) span.verdict = SpliceVerdict::beyond;
  return span;
}

}  // namespace

SpliceAttempts::SpliceAttempts(const Assessment& all) {
  for (const SpliceAttempt& attempt : all.records.splice_attempts)
    by_strand_[key_of(attempt.link, attempt.strand)].push_back(&attempt);
}

std::vector<const SpliceAttempt*> SpliceAttempts::of(const ScheduledStrand& strand) const {
  if (by_strand_.empty()) return {};
  const auto found = by_strand_.find(key_of(link_name(strand), strand.strand));
  return found == by_strand_.end() ? std::vector<const SpliceAttempt*>{} : found->second;
}

void judge_splices(const Assessment& all, const SpliceAttempts& attempts,
                   const std::vector<SpliceDemand>& demands, JudgedTraces& judged) {
  const ScheduledStrand& strand = all.schedule[judged.strand];
  const std::vector<const SpliceAttempt*> own = attempts.of(strand);
  if (demands.empty() && own.empty()) return;
  const std::vector<Making> made = makings(all, judged, own);
  const SpliceQuestion question = question_of(strand, demands, judged.wavelength);
  judged.splices.reserve(made.size());
  for (std::size_t i = 0; i < made.size(); ++i) {
    const TwoWayEvent& event = judged.seen.events[i];
    if (is_step(event) || made[i].method)
      judged.splices.push_back(judged_splice(event, demands, question, made[i]));
    else
      judged.splices.push_back({SpliceVerdict::open, 1, {}, event.one_side_only(), "not a splice"});
  }
  judged.span = judged_span(strand, demands, judged);
}

std::vector<Problem> unplaced_attempts(const Assessment& all) {
  std::vector<Problem> unplaced;
  if (all.records.splice_attempts.empty()) return unplaced;
  std::set<std::string> named;
  for (const ScheduledStrand& strand : all.schedule) named.insert(key_of(link_name(strand), strand.strand));
  for (const SpliceAttempt& attempt : all.records.splice_attempts)
    if (!named.contains(key_of(attempt.link, attempt.strand)))
      unplaced.push_back({{},
                          fmt::format("attempt {} at a splice of \"{}\", strand \"{}\"", attempt.attempt,
                                      attempt.link, attempt.strand),
                          "a strand of the schedule",
                          "Record it again under the strand's name in the schedule. What was recorded stays "
                          "in the book."});
  return unplaced;
}

}  // namespace strandbook
