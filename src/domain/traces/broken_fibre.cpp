#include "domain/traces/broken_fibre.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr double length_share = 0.05;
constexpr double length_least_m = 2;

Metres slack(Metres scheduled) { return {length_share * scheduled.value + length_least_m}; }

/// Where the fibre ends short of the far connection; nothing where it does not, or the trace does not say.
std::optional<Metres> short_end(const HeldTrace* trace, Metres scheduled) {
  if (trace == nullptr || trace->end != EndState::found || !trace->seen.ends) return std::nullopt;
  const Metres end = *trace->seen.ends;
  return end.value < scheduled.value - slack(scheduled).value ? std::optional(end) : std::nullopt;
}

void add_events(const HeldTrace& trace, Metres length, Metres end, std::vector<TwoWayEvent>& events) {
  const bool from_a = trace.from() == Direction::a_to_b;
  const auto place = [&](Metres along) { return from_a ? along : Metres{length.value - along.value}; };
  for (const LinkEvent& seen : trace.seen.events) {
    if (seen.kind == EventKind::end_of_fibre || seen.position.value >= end.value) continue;
    TwoWayEvent event;
    event.kind = seen.kind;
    event.position = place(seen.position);
    (from_a ? event.from_a : event.from_b) = seen.loss;
    events.push_back(std::move(event));
  }
  TwoWayEvent stop;
  stop.kind = EventKind::end_of_fibre;
  stop.position = place(end);
  events.push_back(std::move(stop));
}

/// Both sides end at the same place.
void tell_once(std::vector<TwoWayEvent>& events) {
  const auto second = std::find_if(events.rbegin(), events.rend(), [](const TwoWayEvent& event) {
    return event.kind == EventKind::end_of_fibre;
  });
  events.erase(second.base() - 1);
}

enum class Breaks { one, unknown };

std::string words_of(const BrokenFibre& broken, Metres scheduled, Breaks breaks) {
  if (breaks == Breaks::one)
    return fmt::format(
        "The fibre ends {:.1f} m from A and {:.1f} m from B, which together make the scheduled {:g} m: it is "
        "broken there.",
        broken.from_a->value, broken.from_b->value, scheduled.value);
  if (broken.from_a && broken.from_b)
    return fmt::format(
        "No light comes through, and the fibre ends {:.1f} m from A and {:.1f} m from B, which together are "
        "not the scheduled {:g} m: it is broken at both places.",
        broken.from_a->value, broken.from_b->value, scheduled.value);
  return fmt::format(
      "No light comes through, and the fibre ends {:.1f} m from {} of scheduled {:g} m: it is "
      "broken there.",
      (broken.from_a ? *broken.from_a : *broken.from_b).value, broken.from_a ? "A" : "B", scheduled.value);
}

}  // namespace

std::optional<BrokenFibre> broken_fibre(const HeldTrace* a, const HeldTrace* b, Metres scheduled,
                                        MeterLight light) {
  if (light == MeterLight::through) return std::nullopt;
  BrokenFibre broken;
  broken.from_a = short_end(a, scheduled);
  broken.from_b = short_end(b, scheduled);
  if (!broken.from_a && !broken.from_b) return std::nullopt;
  const double sum = broken.from_a.value_or(Metres{0}).value + broken.from_b.value_or(Metres{0}).value;
  const bool one_break =
      broken.from_a && broken.from_b && std::abs(sum - scheduled.value) <= slack(scheduled).value;
  if (!one_break && light != MeterLight::dark) return std::nullopt;
  broken.seen.length = one_break ? Metres{sum} : scheduled;
  if (broken.from_a) add_events(*a, broken.seen.length, *broken.from_a, broken.seen.events);
  if (broken.from_b) add_events(*b, broken.seen.length, *broken.from_b, broken.seen.events);
  std::sort(broken.seen.events.begin(), broken.seen.events.end(),
            [](const TwoWayEvent& x, const TwoWayEvent& y) { return x.position < y.position; });
  if (one_break) tell_once(broken.seen.events);
  broken.words = words_of(broken, scheduled, one_break ? Breaks::one : Breaks::unknown);
  return broken;
}

}  // namespace strandbook
