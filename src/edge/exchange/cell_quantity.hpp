#pragma once
// Lengths, wavelengths, levels and losses from cells, with the unit of the heading or of the cell itself.

#include <cstdint>
#include <string_view>

#include "domain/units/units.hpp"
#include "edge/exchange/cell_value.hpp"
#include "edge/exchange/number_sense.hpp"

namespace strandbook {

/// Units as headings and cells name them.
enum class Unit : std::uint8_t { none, db, dbm, mw, uw, nw, nm, um, m, km, ft, db_per_km, percent };

/// "ft", "feet", "km", "dBm", "µm" (case aside; `word` is folded already); none where it is no unit.
Unit unit_of_word(std::string_view word);

/// "LO", "no light", "kein Licht", minus infinity: no light arrived.
bool says_dark(std::string_view text);

/// A number and the unit written beside it, if any.
struct Quantity {
  WrittenNumber number;
  Unit unit = Unit::none;
};

/// One number with or without its unit: "31 µm", "0,5". No range is checked.
Cell<Quantity> read_quantity(std::string_view text, NumberSense& numbers);

/// 0 to 200 km. Heading without unit: metres.
Cell<Metres> read_length(std::string_view text, Unit heading, NumberSense& numbers);

/// 600 to 1700 nm, the span in which silica fibre is tested. A bare number below 2 is micrometres unless the
/// heading says nanometres.
Cell<Nanometres> read_wavelength(std::string_view text, Unit heading, NumberSense& numbers);

/// Whole number from 0 to 10 000.
Cell<int> read_count(std::string_view text, NumberSense& numbers);

/// A level or a loss; `dark` where the cell says that no light arrived.
struct MeterValue {
  double value = 0;  ///< dBm or dB
  bool dark = false;
};

/// A level: "-23.19", "0.58 mW / -2.36 dBm", "0.31 mW", "LO". dBm wins over mW beside it, and the two must
/// agree within their rounding. Dark: the words for it, minus infinity, exactly -40.00 dBm (the floor that
/// meters and modules show without light), or mW that print as 0.0001 or 0.0000 alone. More than `highest`
/// is no level of a receiver.
Cell<MeterValue> read_level(std::string_view text, Unit heading, PowerDbm highest, NumberSense& numbers);

/// A loss or another ratio in dB; the sign stays. A level (dBm) is not taken for one.
Cell<MeterValue> read_loss(std::string_view text, NumberSense& numbers);

}  // namespace strandbook
