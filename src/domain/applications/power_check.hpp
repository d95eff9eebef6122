#pragma once
// A level read on live equipment against the window that its application or its module states.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/applications/application.hpp"
#include "domain/problem/problem.hpp"
#include "domain/verdict/outcome.hpp"

namespace strandbook {

/// Near end: what a transmitter launches. Far end: what arrives at a receiver.
enum class LevelEnd { launch, receive };
std::string_view text_of(LevelEnd end);  // "launch", "receive"

/// The levels between which light must lie. Warnings lie inside alarms; what is absent is not tested.
struct LevelWindow {
  std::optional<Sourced<PowerDbm>> low_alarm;  ///< least launch power, or receiver sensitivity
  std::optional<Sourced<PowerDbm>> low_warning;
  std::optional<Sourced<PowerDbm>> high_warning;
  std::optional<Sourced<PowerDbm>> high_alarm;  ///< most launch power, or receiver overload
  std::optional<Sourced<PowerDbm>> damage;
  Decibels reserve;  ///< demanded above the low alarm
  /// The standard's least average power rejects but does not prove (10 Gb/s and faster).
  bool average_only_rejects = false;
};

/// The window of one lane at one end, as the application's table gives it.
LevelWindow window_of(const Application& application, LevelEnd end);

enum class LevelKind {
  level,
  no_light,    ///< dark, or the floor that meters and modules show without light
  lane_unused  ///< a multi-lane module shows exactly nothing at both ends of this lane
};

struct LiveLevel {
  std::string port;
  int lane = 0;  ///< 0 where the port has one
  LevelEnd end = LevelEnd::receive;
  LevelKind kind = LevelKind::level;
  PowerDbm level;
  Decibels standard_uncertainty;  ///< u (k = 1)
  Place at;
};

enum class LevelReason {
  none,
  no_light,
  lane_unused,
  no_window,  ///< no number to hold the level against
  low,        ///< under the low alarm
  low_warning,
  below_reserve,  ///< above sensitivity, but not by the reserve demanded
  high_warning,
  high,            ///< over the high alarm: overload
  damage,          ///< over the level that may damage the receiver
  memory_against,  ///< only a number from memory speaks against
};
/// Name of the enumerator: "low_warning".
std::string_view code_of(LevelReason reason);
/// A sentence for a technician, with the next step.
std::string_view sentence_of(LevelReason reason);

struct JudgedLevel {
  Outcome outcome = Outcome::not_tested;
  LevelReason reason = LevelReason::none;
  std::optional<Decibels> above_low;   ///< level − low alarm
  std::optional<Decibels> below_high;  ///< high alarm − level
  std::optional<Decibels> after_reserve;
  Decibels attenuator;      ///< at least so much, where there is too much light
  bool unverified = false;  ///< passes by a number from memory
};

/// A level with what it was held against.
struct CheckedLevel {
  LiveLevel level;
  LevelWindow window;
  JudgedLevel judged;
  bool predicted = false;  ///< launched power less the loss of the path, not read
};

/// pass inside the window; conditional pass in a warning band or where the margin is less than the guard
/// band; fail beyond an alarm, or without light; not tested where there is no window or the lane is not used;
/// invalid where only a number from memory speaks against.
JudgedLevel judge_level(const LiveLevel& level, const LevelWindow& window, GuardBand guard);

/// Mean power of one lane where a meter saw `lanes` of them together: level − 10·log10(lanes).
PowerDbm mean_lane_power(PowerDbm together, int lanes);

/// Largest minus smallest level of the lanes that are used.
std::optional<Decibels> lane_spread(const std::vector<LiveLevel>& lanes);

}  // namespace strandbook
