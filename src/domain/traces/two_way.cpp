#include "domain/traces/two_way.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

// Below this the two sides differ no more than splices of one cable do (common practice).
constexpr double notable_scatter_db = 0.05;
constexpr double least_bend_db = 0.1;  // common practice

double hypotenuse(double a, double b) { return std::sqrt(a * a + b * b); }

/// Which event from B belongs to each from A: nearest pairs first.
std::vector<std::ptrdiff_t> partners(const std::vector<LinkEvent>& from_a,
                                     const std::vector<LinkEvent>& from_b, const TwoWayQuestion& question) {
  struct Pair {
    double apart;
    std::size_t a, b;
  };
  std::vector<Pair> pairs;
  for (std::size_t a = 0; a < from_a.size(); ++a)
    for (std::size_t b = 0; b < from_b.size(); ++b) {
      const double apart =
          std::abs(from_a[a].position.value - (question.length.value - from_b[b].position.value));
      if (apart <= question.gate.value) pairs.push_back({apart, a, b});
    }
  std::sort(pairs.begin(), pairs.end(), [](const Pair& x, const Pair& y) { return x.apart < y.apart; });
  std::vector<std::ptrdiff_t> partner(from_a.size(), -1);
  std::vector<bool> taken(from_b.size());
  for (const Pair& pair : pairs) {
    if (partner[pair.a] >= 0 || taken[pair.b]) continue;
    partner[pair.a] = static_cast<std::ptrdiff_t>(pair.b);
    taken[pair.b] = true;
  }
  return partner;
}

void explain(TwoWayEvent& event) {
  if (!event.scatter ||
      std::abs(event.scatter->value) < std::max(notable_scatter_db, 2 * event.scatter->standard_uncertainty))
    return;
  const bool gain_from_a = event.scatter->value < 0;
  event.explanation = fmt::format(
      "The two sides differ by {:.2f} dB: the fibre behind, seen from {}, scatters more back (as a smaller "
      "mode field "
      "does). Only the mean is the splice's loss.",
      2 * std::abs(event.scatter->value), gain_from_a ? "A" : "B");
}

TwoWayEvent merged(const LinkEvent& a, const LinkEvent* b, Metres length) {
  TwoWayEvent event;
  event.kind = a.kind;
  event.position = a.position;
  event.from_a = a.loss;
  if (b == nullptr) return event;
  event.from_b = b->loss;
  if (b->kind == EventKind::reflective) event.kind = EventKind::reflective;
  // The side that is nearer sees the place more sharply.
  if (b->position < a.position) event.position = {length.value - b->position.value};
  if (!event.from_a || !event.from_b) return event;
  const double u = hypotenuse(event.from_a->standard_uncertainty, event.from_b->standard_uncertainty) / 2;
  event.mean = Measured{(event.from_a->value + event.from_b->value) / 2, u};
  event.scatter = Measured{(event.from_a->value - event.from_b->value) / 2, u};
  if (event.kind == EventKind::gain || event.kind == EventKind::loss)
    event.kind = event.mean->value < 0 ? EventKind::gain : EventKind::loss;
  explain(event);
  return event;
}

void bound(TwoWayEvent& event, Decibels unseen) {
  const std::optional<Measured>& seen = event.shown();
  if (!seen || !event.one_side_only()) return;
  event.mean_least = Decibels{(seen->value - unseen.value) / 2};
  event.mean_most = Decibels{(seen->value + unseen.value) / 2};
  event.explanation = fmt::format(
      "Seen from one side only. From the other it must be within ±{:.3f} dB, so the mean lies between {:.3f} "
      "and {:.3f} dB.",
      unseen.value, event.mean_least->value, event.mean_most->value);
}

SpliceVerdict verdict_of(double loss, const SpliceLimit& limit) {
  if (at_most({loss}, limit.limit.value)) return SpliceVerdict::within;
  if (limit.relaxed && at_most({loss}, limit.relaxed->limit.value)) return SpliceVerdict::relaxed;
  return SpliceVerdict::beyond;
}

}  // namespace

std::string_view text_of(SpliceVerdict verdict) {
  switch (verdict) {
    case SpliceVerdict::within:
      return "within";
    case SpliceVerdict::relaxed:
      return "within the relaxed limit";
    case SpliceVerdict::beyond:
      return "beyond";
    case SpliceVerdict::open:
      return "open";
  }
  return {};
}

std::vector<TwoWayEvent> pair_directions(const std::vector<LinkEvent>& from_a,
                                         const std::vector<LinkEvent>& from_b,
                                         const TwoWayQuestion& question) {
  const std::vector<std::ptrdiff_t> partner = partners(from_a, from_b, question);
  std::vector<bool> used(from_b.size());
  std::vector<TwoWayEvent> events;
  for (std::size_t a = 0; a < from_a.size(); ++a) {
    const LinkEvent* b = partner[a] < 0 ? nullptr : &from_b[static_cast<std::size_t>(partner[a])];
    if (b != nullptr) used[static_cast<std::size_t>(partner[a])] = true;
    events.push_back(merged(from_a[a], b, question.length));
    if (b == nullptr) bound(events.back(), question.unseen_b);
  }
  for (std::size_t b = 0; b < from_b.size(); ++b) {
    if (used[b]) continue;
    TwoWayEvent event;
    event.kind = from_b[b].kind;
    event.position = {question.length.value - from_b[b].position.value};
    event.from_b = from_b[b].loss;
    bound(event, question.unseen_a);
    events.push_back(std::move(event));
  }
  std::sort(events.begin(), events.end(),
            [](const TwoWayEvent& x, const TwoWayEvent& y) { return x.position < y.position; });
  return events;
}

JudgedSplice judge_splice(const TwoWayEvent& event, const std::vector<SpliceDemand>& demands,
                          SpliceQuestion question) {
  JudgedSplice judged;
  judged.attempts = question.attempts;
  judged.one_direction_only = event.one_side_only();
  question.measure = SpliceMeasure::two_way_mean;
  judged.limit = splice_limit(demands, question);
  if (judged.limit && event.mean) {
    judged.verdict = verdict_of(event.mean->value, *judged.limit);
    return judged;
  }
  if (judged.limit && event.mean_least) {
    const SpliceVerdict least = verdict_of(event.mean_least->value, *judged.limit);
    const SpliceVerdict most = verdict_of(event.mean_most->value, *judged.limit);
    judged.verdict = least == most ? most : SpliceVerdict::open;
    judged.reason = least == most ? "one direction only: every mean it can have comes to the same"
                                  : "one direction only: the mean may lie on either side of the limit";
    return judged;
  }
  question.measure = SpliceMeasure::one_way;
  judged.limit = splice_limit(demands, question);
  const std::optional<Measured>& seen = event.from_a ? event.from_a : event.from_b;
  if (!judged.limit || !seen) {
    judged.reason = judged.limit ? "its loss could not be measured" : "the owner names no limit for it";
    return judged;
  }
  judged.verdict = verdict_of(seen->value, *judged.limit);
  judged.reason = "held against a limit of one direction";
  return judged;
}

bool looks_bent(const Measured& shorter, const Measured& longer) {
  const double more = longer.value - shorter.value;
  return more > least_bend_db &&
         more > 2 * hypotenuse(shorter.standard_uncertainty, longer.standard_uncertainty);
}

void mark_bends(const std::vector<TwoWayEvent>& shorter, const BendQuestion& question,
                std::vector<TwoWayEvent>& longer) {
  for (TwoWayEvent& event : longer) {
    const std::optional<Measured>& there = event.shown();
    if (event.kind != EventKind::loss || !there) continue;
    // What the shorter wavelength does not show it may lose, up to what would have been seen.
    Measured here{0, question.unseen.value / 2};
    for (const TwoWayEvent& other : shorter)
      if (const std::optional<Measured>& loss = other.shown();
          loss && std::abs(other.position.value - event.position.value) <= question.gate.value)
        here = *loss;
    if (looks_bent(here, *there)) event.kind = EventKind::bend;
  }
}

}  // namespace strandbook
