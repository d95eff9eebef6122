#include "domain/applications/power_check.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

bool from_memory(const Sourced<PowerDbm>& number) { return number.source.standing == Standing::from_memory; }

/// How a level lies to a bound that it must not pass; `room` is positive inside.
Outcome beside(Decibels room, Decibels standard_uncertainty, GuardBand guard) {
  return decide(-room, {}, standard_uncertainty, guard);
}

/// The first thing that speaks against a level, the gravest first.
struct Judge {
  const LiveLevel& level;
  const LevelWindow& window;
  GuardBand guard;
  JudgedLevel judged{};

  void settle(Outcome outcome, LevelReason reason) {
    judged.outcome = outcome;
    judged.reason = reason;
  }
  /// True where the bound is passed and that settles it.
  bool passed(const std::optional<Sourced<PowerDbm>>& bound, Decibels room, LevelReason reason) {
    if (!bound) return false;
    const Outcome lies = beside(room, level.standard_uncertainty, guard);
    if (lies == Outcome::pass) {
      judged.unverified = judged.unverified || from_memory(*bound);
      return false;
    }
    const bool against = lies == Outcome::fail || lies == Outcome::conditional_fail;
    if (against && from_memory(*bound))
      settle(Outcome::invalid, LevelReason::memory_against);
    else
      settle(lies, reason);
    return true;
  }
  bool in_warning(const std::optional<Sourced<PowerDbm>>& bound, Decibels room, LevelReason reason) {
    if (!bound || at_most({}, room)) return false;
    settle(Outcome::conditional_pass, reason);
    return true;
  }
  void measure() {
    if (window.low_alarm) judged.above_low = level.level - window.low_alarm->value;
    if (window.high_alarm) judged.below_high = window.high_alarm->value - level.level;
    if (judged.above_low && window.reserve.value > 0)
      judged.after_reserve = *judged.above_low - window.reserve;
    if (judged.below_high && !at_most({}, *judged.below_high)) judged.attenuator = -*judged.below_high;
  }
  void judge() {
    measure();
    const auto above = [&](const std::optional<Sourced<PowerDbm>>& bound) {
      return bound ? level.level - bound->value : Decibels{};
    };
    const auto below = [&](const std::optional<Sourced<PowerDbm>>& bound) { return -above(bound); };
    if (passed(window.damage, below(window.damage), LevelReason::damage) ||
        passed(window.high_alarm, below(window.high_alarm), LevelReason::high) ||
        passed(window.low_alarm, above(window.low_alarm), LevelReason::low))
      return;
    if (judged.after_reserve && !at_most({}, *judged.after_reserve))
      return settle(Outcome::fail, LevelReason::below_reserve);
    if (in_warning(window.low_warning, above(window.low_warning), LevelReason::low_warning) ||
        in_warning(window.high_warning, below(window.high_warning), LevelReason::high_warning))
      return;
    settle(Outcome::pass, LevelReason::none);
  }
};

}  // namespace

std::string_view text_of(LevelEnd end) { return end == LevelEnd::launch ? "launch" : "receive"; }

std::string_view code_of(LevelReason reason) {
  switch (reason) {
    case LevelReason::none:
      return "none";
    case LevelReason::no_light:
      return "no_light";
    case LevelReason::lane_unused:
      return "lane_unused";
    case LevelReason::no_window:
      return "no_window";
    case LevelReason::low:
      return "low";
    case LevelReason::low_warning:
      return "low_warning";
    case LevelReason::below_reserve:
      return "below_reserve";
    case LevelReason::high_warning:
      return "high_warning";
    case LevelReason::high:
      return "high";
    case LevelReason::damage:
      return "damage";
    case LevelReason::memory_against:
      return "memory_against";
  }
  return {};
}

std::string_view sentence_of(LevelReason reason) {
  switch (reason) {
    case LevelReason::none:
      return "";
    case LevelReason::no_light:
      return "No light arrives. Check that the far transmitter is on and the cord is plugged in, then the "
             "strands' polarity.";
    case LevelReason::lane_unused:
      return "The module does not use this lane: the 0.0 it shows is no level.";
    case LevelReason::no_window:
      return "No number is known to hold this level against. Name the application or give the window.";
    case LevelReason::low:
      return "Too little light. Clean and inspect both end faces, then measure the loss of the link.";
    case LevelReason::low_warning:
      return "Little light: inside the window, but under its low warning.";
    case LevelReason::below_reserve:
      return "The receiver works, but the reserve demanded is used up. Clean and inspect, then find the "
             "added "
             "loss.";
    case LevelReason::high_warning:
      return "Much light: inside the window, but over its high warning.";
    case LevelReason::high:
      return "Too much light for the receiver. Put in an attenuator of at least the size stated.";
    case LevelReason::damage:
      return "This level may damage the receiver. Unplug it now, and put in an attenuator before it is "
             "plugged in again.";
    case LevelReason::memory_against:
      return "Only a number from memory speaks against this level. Check it against the published table.";
  }
  return {};
}

LevelWindow window_of(const Application& application, LevelEnd end) {
  LevelWindow window;
  const PowerWindow& power = application.window;
  if (end == LevelEnd::launch) {
    window.low_alarm = power.launch_min;
    window.high_alarm = power.launch_max;
    return window;
  }
  window.low_alarm = power.receive_min;
  window.high_alarm = power.receive_max;
  window.damage = power.damage;
  window.average_only_rejects = application.average_only_rejects;
  return window;
}

JudgedLevel judge_level(const LiveLevel& level, const LevelWindow& window, GuardBand guard) {
  Judge judge{level, window, guard};
  if (level.kind == LevelKind::lane_unused)
    judge.settle(Outcome::not_tested, LevelReason::lane_unused);
  else if (level.kind == LevelKind::no_light)
    judge.settle(Outcome::fail, LevelReason::no_light);
  else if (!window.low_alarm && !window.high_alarm && !window.low_warning && !window.high_warning)
    judge.settle(Outcome::not_tested, LevelReason::no_window);
  else
    judge.judge();
  return judge.judged;
}

PowerDbm mean_lane_power(PowerDbm together, int lanes) {
  return together - Decibels{10 * std::log10(static_cast<double>(lanes))};
}

std::optional<Decibels> lane_spread(const std::vector<LiveLevel>& lanes) {
  std::optional<PowerDbm> least;
  std::optional<PowerDbm> most;
  for (const LiveLevel& each : lanes) {
    if (each.kind != LevelKind::level) continue;
    least = least ? std::min(*least, each.level) : each.level;
    most = most ? std::max(*most, each.level) : each.level;
  }
  return least ? std::optional(*most - *least) : std::nullopt;
}

}  // namespace strandbook
