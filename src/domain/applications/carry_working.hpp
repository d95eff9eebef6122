#pragma once
// The working of an answer about an application, and what it would take to change it.

#include <optional>
#include <string>
#include <vector>

#include "domain/applications/carry.hpp"

namespace strandbook {

/// One test of the working: what was found beside what the table allows.
struct CarryLine {
  /// "length", "loss", "connections and splices", "least loss", "strongest arrival", "weakest arrival"
  std::string_view what;
  std::string_view unit;
  std::optional<double> found;
  std::optional<double> allowed;
  std::optional<double> margin;  ///< positive = room
  bool informative = false;      ///< shown, but decides nothing
  RuleRef source;
  std::optional<Nanometres> at;    ///< the application's wavelength, for a loss
  std::optional<Nanometres> read;  ///< where it was read, for a loss
};

std::vector<CarryLine> working_of(const Application& row, const MeasuredChannel& channel,
                                  const CarryOutcome& outcome);

/// How much longer the channel could be with the same connections: the smaller of the room in length and the
/// room in loss. Negative where it is too long. Nothing where a number is missing.
std::optional<Metres> room_of(const MeasuredChannel& channel, const CarryOutcome& outcome,
                              const Application& row);

/// What the channel is made of besides fibre.
struct ChannelParts {
  std::optional<int> connections;
  Decibels splices;           ///< all splices together, as the rule counts them
  Decibels clean_connection;  ///< what a clean connection of its kind costs on average
};

enum class RemedyKind { clean_connection, remove_connection, shorter };
std::string_view text_of(RemedyKind kind);  // "clean one connection", "remove one connection", "shorter cord"

/// One thing that could be done where length or loss is beyond the table.
struct Remedy {
  RemedyKind kind;
  Decibels saves;  ///< at most, for the two about connections
  Metres shorter;  ///< at least, for `shorter`
  bool enough = false;
};

/// Empty where neither length nor loss is beyond the limit. Cleaning saves at most what the channel loses
/// beyond fibre, splices and clean connections; removing saves the mean of what its connections lose.
std::vector<Remedy> remedies_of(const MeasuredChannel& channel, const CarryOutcome& outcome,
                                const ChannelParts& parts);

}  // namespace strandbook
