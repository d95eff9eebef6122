#pragma once
// Will this channel, as measured, carry that application? Length and loss are tested apart, each against the
// table's own number; a number from memory never settles it by itself.

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "domain/applications/application.hpp"
#include "domain/applications/attenuation_shape.hpp"
#include "domain/applications/test_window.hpp"
#include "domain/verdict/outcome.hpp"

namespace strandbook {

/// From best to worst: a link is what its worst group of strands is.
enum class Carries : std::uint8_t { supported, supported_with, cannot_say, not_supported };
/// "supported", "supported only with", "cannot say", "not supported"
std::string_view text_of(Carries carries);

/// The worst loss of a channel at one wavelength, over its strands and directions.
struct MeasuredLoss {
  Nanometres wavelength;
  Decibels loss;
  Decibels standard_uncertainty;  ///< u (k = 1)
  Decibels least_loss;            ///< the smallest of them: what too much light is judged by
  std::optional<DecibelsPerKilometre> attenuation;  ///< of the cabled fibre here, by the job's rule
};

struct MeasuredChannel {
  std::optional<FibreCategory> fibre;
  std::optional<DecibelsPerKilometre> cable_class;  ///< largest attenuation coefficient of the cable, 1310 nm
  std::optional<Metres> length;
  std::span<const MeasuredLoss> losses;
  GuardBand guard = GuardBand::none;
};

/// What spoke for or against; several may hold at once.
enum class CarryReason : std::uint8_t {
  length_beyond,        ///< longer than the table's reach
  length_unknown,       ///< the schedule gives none
  loss_beyond,          ///< more loss than the table allows, by more than the guard band
  loss_doubtful,        ///< beyond the limit, but by less than the guard band
  loss_close,           ///< within the limit, but inside the guard band
  loss_unread,          ///< no valid reading that may stand for the application's wavelength
  short_side_unread,    ///< only a longer wavelength was read: the loss at the shorter one may be larger
  too_little_loss,      ///< below the table's smallest loss, or the receiver would be overloaded: attenuator
  receiver_in_danger,   ///< the strongest transmitter could damage the receiver on this channel
  no_loss_number,       ///< the table gives no loss, or none is known here
  no_length_number,     ///< likewise the reach
  memory_against,       ///< only a number from memory speaks against
  memory_for,           ///< what decides is from memory and awaits checking
  cable_class_unknown,  ///< the row holds for cable of a certain attenuation class, and this one's is not
                        ///< known
  cable_class_differs,  ///< the row holds for cable of a smaller attenuation class than this one
  needs_more,           ///< the table demands something besides, such as a mode-conditioning cord
};
inline constexpr std::size_t carry_reason_count = static_cast<std::size_t>(CarryReason::needs_more) + 1;
/// Name of the enumerator: "length_beyond".
std::string_view code_of(CarryReason reason);
/// A sentence for a technician, without numbers.
std::string_view sentence_of(CarryReason reason);

class CarryReasons {
 public:
  constexpr void add(CarryReason reason) { bits_ |= bit(reason); }
  constexpr bool has(CarryReason reason) const { return (bits_ & bit(reason)) != 0; }
  constexpr bool operator==(const CarryReasons&) const = default;

 private:
  static constexpr std::uint32_t bit(CarryReason reason) { return 1U << static_cast<unsigned>(reason); }
  std::uint32_t bits_ = 0;
};

inline constexpr std::uint8_t no_lane = 0xff;

/// The answer for one row of a table. Margins are meaningful where there is a number to hold against.
struct CarryOutcome {
  Carries carries = Carries::cannot_say;
  CarryReasons reasons;
  std::uint8_t lane = no_lane;  ///< index into the row's wavelengths of the one with the least margin
  std::uint8_t read = no_lane;  ///< index into MeasuredChannel::losses of the reading that stands for it
  Decibels loss;                ///< brought to the lane's wavelength
  Decibels loss_margin;         ///< limit − loss
  Metres length_margin;         ///< reach − length
  Decibels attenuator;          ///< at least so much, where there is too little loss
};

// What holds at the row's `lane`-th wavelength: the second direction of one strand has numbers of its own.
const std::optional<Sourced<Decibels>>& max_loss_at(const Application& row, std::size_t lane);
const PowerWindow& window_at(const Application& row, std::size_t lane);

/// The rows of application tables made ready for many channels. The table must outlive it.
class CarryTable {
 public:
  CarryTable(const ApplicationTable& table, const TestWindows& windows, const AttenuationShape& shape);

  const ApplicationTable& applications() const { return table_; }
  /// Rows a channel of this fibre is held against; none where it is not known.
  std::span<const std::uint32_t> rows_for(std::optional<FibreCategory> fibre) const;
  /// The same by application and table: of several rows of one table the most favourable holds.
  std::span<const std::vector<std::uint32_t>> families_for(std::optional<FibreCategory> fibre) const;
  /// Allocates nothing. `row` is one of rows_for(channel.fibre), or any row the person asks for by name.
  CarryOutcome judge(std::uint32_t row, const MeasuredChannel& channel) const;

 private:
  /// A reading that may stand for a lane. Loss at the lane = reading + rise · attenuation · length.
  struct StandIn {
    double reading_nm = 0;
    double rise = 0;
  };
  struct Lane {
    std::vector<StandIn> stand_ins;  ///< in the order of the windows: the first that was read counts
    double wavelength_nm = 0;
  };
  struct Tally;
  void judge_length(const Application& row, const MeasuredChannel& channel, Tally& tally) const;
  void judge_lanes(std::uint32_t row, const MeasuredChannel& channel, Tally& tally) const;
  static const MeasuredLoss* reading_for(const Lane& lane, const MeasuredChannel& channel, double& rise);
  static void judge_most(const std::optional<Sourced<Decibels>>& most, const MeasuredLoss& read,
                         Decibels loss, GuardBand guard, Tally& tally);
  static void judge_least(const Application& row, const PowerWindow& window, Decibels least, Tally& tally);

  const ApplicationTable& table_;
  std::vector<std::vector<Lane>> lanes_;  ///< per row
  std::vector<std::vector<std::uint32_t>> rows_by_category_;
  std::vector<std::vector<std::vector<std::uint32_t>>> families_by_category_;
};

}  // namespace strandbook
