#include "edge/exchange/cell_quantity.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

constexpr double longest_m = 200'000;    // no span is tested end to end with a light source beyond this
constexpr double largest_loss_db = 150;  // beyond any meter's range
constexpr double lowest_level_dbm = -150;
constexpr double floor_dbm = -40.0;

/// Up to four numbers with their units in one cell.
struct Quantities {
  std::array<Quantity, 4> parts;
  std::size_t count = 0;
  CellState state = CellState::unusable;
  std::string_view wanted;
  std::string_view advice;
};

bool starts_unit(std::string_view text) {
  return is_letter(text[0]) || text[0] == '%' || text.starts_with("\xC2\xB5") || text.starts_with("\xCE\xBC");
}

std::size_t numeral_end(std::string_view text) {
  std::size_t end = 0;
  while (end < text.size() && !starts_unit(text.substr(end)) && text[end] != '(' && text[end] != ')' &&
         text[end] != '/' && text[end] != ';' && text[end] != '=')
    ++end;
  return end;
}

std::size_t unit_end(std::string_view text) {
  std::size_t end = 0;
  while (end < text.size() &&
         (is_letter(text[end]) || text[end] == '%' || static_cast<unsigned char>(text[end]) >= 0x80))
    ++end;
  return end;
}

std::string_view without_separators(std::string_view text) {
  const std::size_t start = text.find_first_not_of(" \t()/;=|");
  return start == std::string_view::npos ? std::string_view{} : text.substr(start);
}

Quantities unusable(std::string_view wanted, std::string_view advice) {
  Quantities none;
  none.wanted = wanted;
  none.advice = advice;
  return none;
}

Quantities read_quantities(std::string_view text, NumberSense& numbers) {
  Quantities found;
  const std::string_view whole = text;
  for (text = without_separators(text); !text.empty(); text = without_separators(text)) {
    if (found.count == found.parts.size()) return unusable("one value", "split the cell");
    const std::size_t end = numeral_end(text);
    const Cell<WrittenNumber> number = numbers.read_written(trimmed(text.substr(0, end)));
    if (!number.has_value())
      return unusable(number.wanted, number.wanted == "a number" ? number_advice(whole) : number.advice);
    text.remove_prefix(end);
    const std::size_t word = unit_end(text);
    const Unit unit = unit_of_word(folded(text.substr(0, word)));
    if (word > 0 && unit == Unit::none) return unusable("a number with its unit", number_advice(whole));
    text.remove_prefix(word);
    if (!text.empty() && (is_digit(text[0]) || text[0] == '.'))
      return unusable("a number with its unit", number_advice(whole));
    found.parts[found.count++] = {number.value, unit};
  }
  if (found.count == 0) return unusable("a number", number_advice(whole));  // brackets and bars alone
  found.state = CellState::value;
  return found;
}

std::optional<double> metres_per(Unit unit) {
  if (unit == Unit::m || unit == Unit::none) return 1.0;
  if (unit == Unit::km) return 1000.0;
  if (unit == Unit::ft) return from_feet(1).value;
  return std::nullopt;
}

std::optional<double> milliwatts_per(Unit unit) {
  if (unit == Unit::mw) return 1.0;
  if (unit == Unit::uw) return 1e-3;
  if (unit == Unit::nw) return 1e-6;
  return std::nullopt;
}

/// Half a unit of the last digit printed.
double rounding(int decimals) { return 0.5 * std::pow(10.0, -decimals); }

bool agree(const WrittenNumber& milliwatts, const WrittenNumber& level) {
  const double expected = to_milliwatts({level.value}).value;
  const double from_level = expected * std::log(10.0) / 10 * rounding(level.decimals);
  return std::abs(milliwatts.value - expected) <= 1.02 * (rounding(milliwatts.decimals) + from_level);
}

Cell<MeterValue> checked_level(double level, PowerDbm highest) {
  using Value = Cell<MeterValue>;
  if (level > highest.value)
    return Value::unusable("a level from a receiver, in dBm", "minus sign left out?");
  if (level < lowest_level_dbm) return Value::unusable("a level from -150 dBm up", "correct the cell");
  return Value::of({level, level == floor_dbm});
}

Cell<MeterValue> level_of_milliwatts(const Quantity& power, PowerDbm highest) {
  using Value = Cell<MeterValue>;
  const double milliwatts = power.number.value * *milliwatts_per(power.unit);
  const bool at_floor = power.unit == Unit::mw && power.number.decimals >= 4 && milliwatts <= 0.0001;
  if (milliwatts < 0) return Value::unusable("a power of 0 mW or more", "a level in dBm? name the unit");
  if (at_floor) return Value::of({floor_dbm, true});
  if (milliwatts == 0)
    return Value::unusable("a level in dBm", "0 mW may be darkness or rounding: give the dBm");
  return checked_level(to_dbm({milliwatts}).value, highest);
}

bool is_milliwatts(Unit unit) { return milliwatts_per(unit).has_value(); }

/// In mW, with the digits that it was printed with.
WrittenNumber in_milliwatts(const Quantity& power) {
  const int finer = power.unit == Unit::uw ? 3 : power.unit == Unit::nw ? 6 : 0;
  return {power.number.value * *milliwatts_per(power.unit), power.number.decimals + finer};
}

/// dBm and mW of one cell, either of which may be missing.
Cell<MeterValue> level_from(const Quantity* level, const Quantity* power, PowerDbm highest) {
  using Value = Cell<MeterValue>;
  if (level == nullptr) return level_of_milliwatts(*power, highest);
  if (power != nullptr && !agree(in_milliwatts(*power), level->number))
    return Value::unusable("mW and dBm that agree", "dBm = 10 log10(mW): one of the two is wrong");
  return checked_level(level->number.value, highest);
}

Cell<MeterValue> level_of(Quantities& found, Unit heading, PowerDbm highest) {
  using Value = Cell<MeterValue>;
  const Quantity* level = nullptr;
  const Quantity* power = nullptr;
  for (std::size_t i = 0; i < found.count; ++i) {
    Quantity& part = found.parts[i];
    if (part.unit == Unit::none) part.unit = heading == Unit::none ? Unit::dbm : heading;
    if (part.unit == Unit::db) return Value::unusable("a level in dBm or mW", "dB is a loss, not a level");
    if (part.unit != Unit::dbm && !is_milliwatts(part.unit))
      return Value::unusable("a level in dBm or mW", "check the unit");
    const Quantity*& place = part.unit == Unit::dbm ? level : power;
    if (place != nullptr) return Value::unusable("one level", "split the cell");
    place = &part;
  }
  return level_from(level, power, highest);
}

Cell<MeterValue> dark() { return Cell<MeterValue>::of({floor_dbm, true}); }

}  // namespace

Unit unit_of_word(std::string_view word) {
  static constexpr auto words = std::to_array<std::pair<std::string_view, Unit>>({{"db", Unit::db},
                                                                                  {"dbm", Unit::dbm},
                                                                                  {"mw", Unit::mw},
                                                                                  {"uw", Unit::uw},
                                                                                  {"nw", Unit::nw},
                                                                                  {"nm", Unit::nm},
                                                                                  {"um", Unit::um},
                                                                                  {"m", Unit::m},
                                                                                  {"km", Unit::km},
                                                                                  {"ft", Unit::ft},
                                                                                  {"feet", Unit::ft},
                                                                                  {"foot", Unit::ft},
                                                                                  {"metres", Unit::m},
                                                                                  {"meters", Unit::m},
                                                                                  {"metre", Unit::m},
                                                                                  {"metros", Unit::m},
                                                                                  {"kilometres", Unit::km},
                                                                                  {"kilometers", Unit::km},
                                                                                  {"%", Unit::percent}});
  const auto* const at =
      std::find_if(words.begin(), words.end(), [&](const auto& w) { return w.first == word; });
  return at == words.end() ? Unit::none : at->second;
}

bool says_dark(std::string_view text) {
  static constexpr auto words = std::to_array<std::string_view>(
      {"lo", "low", "nolight", "none", "dark", "nosignal", "nopower", "keinlicht", "dunkel", "paslumiere",
       "sinluz", "inf", "infdbm", "lowlight", "underrange", "infinity"});
  const std::string word = bare_key(text);
  if (word.empty()) return text == "-\xE2\x88\x9E" || text == "\xE2\x88\x92\xE2\x88\x9E";
  if (std::find(words.begin(), words.end(), word) == words.end()) return false;
  const bool infinite = word.starts_with("inf");
  return !infinite || text.starts_with('-') || text.starts_with("\xE2\x88\x92");
}

Cell<Quantity> read_quantity(std::string_view text, NumberSense& numbers) {
  if (says_nothing(text)) return {};
  const Quantities found = read_quantities(text, numbers);
  if (found.state == CellState::value && found.count == 1) return Cell<Quantity>::of(found.parts[0]);
  return Cell<Quantity>::unusable(found.wanted.empty() ? "one value" : found.wanted, found.advice);
}

Cell<Metres> read_length(std::string_view text, Unit heading, NumberSense& numbers) {
  using Value = Cell<Metres>;
  constexpr std::string_view wanted = "a length in m, km or ft, such as 1200 or 328 ft";
  if (says_nothing(text)) return {};
  const Quantities found = read_quantities(text, numbers);
  if (found.state != CellState::value || found.count != 1)
    return Value::unusable(found.wanted.empty() || found.wanted == "a number" ? wanted : found.wanted,
                           found.advice);
  const Unit unit = found.parts[0].unit == Unit::none ? heading : found.parts[0].unit;
  const auto factor = metres_per(unit);
  if (!factor) return Value::unusable(wanted, "check the unit");
  const double metres = found.parts[0].number.value * *factor;
  if (!(metres >= 0 && metres <= longest_m))
    return Value::unusable("a length from 0 to 200 km", "check number and unit");
  return Value::of({metres});
}

Cell<Nanometres> read_wavelength(std::string_view text, Unit heading, NumberSense& numbers) {
  using Value = Cell<Nanometres>;
  constexpr std::string_view wanted = "a wavelength from 600 to 1700 nm, such as 850 or 1310";
  if (says_nothing(text)) return {};
  const Quantities found = read_quantities(text, numbers);
  if (found.state != CellState::value || found.count != 1) return Value::unusable(wanted, found.advice);
  const Quantity& part = found.parts[0];
  const Unit unit = part.unit == Unit::none ? heading : part.unit;
  const bool micrometres = unit == Unit::um || (unit == Unit::none && part.number.value < 2);
  if (unit != Unit::none && unit != Unit::nm && unit != Unit::um)
    return Value::unusable(wanted, "check the unit");
  // 0.85 µm is 850 nm, not 850.0000000001: whole picometres
  const double nm = micrometres ? std::round(part.number.value * 1e6) / 1e3 : part.number.value;
  if (!(nm >= 600 && nm <= 1700))
    return Value::unusable(wanted,
                           unit == Unit::nm && nm < 2 ? "micrometres? write 0.85 um" : "check the number");
  return Value::of({nm});
}

Cell<int> read_count(std::string_view text, NumberSense& numbers) {
  using Value = Cell<int>;
  if (says_nothing(text)) return {};
  const Cell<double> number = numbers.read(text);
  const bool whole = number.has_value() && number.value >= 0 && number.value <= 10'000 &&
                     number.value == std::floor(number.value);
  if (!whole)
    return Value::unusable("a whole number from 0 to 10000", number.has_value() ? "" : number.advice);
  return Value::of(static_cast<int>(number.value));
}

Cell<MeterValue> read_level(std::string_view text, Unit heading, PowerDbm highest, NumberSense& numbers) {
  using Value = Cell<MeterValue>;
  if (heading == Unit::dbm || heading == Unit::none) {
    const Cell<double> plain = says_nothing(text) ? Cell<double>{} : numbers.read(text);
    if (plain.has_value()) return checked_level(plain.value, highest);
  }
  if (says_nothing(text)) return {};
  if (says_dark(text)) return dark();
  Quantities found = read_quantities(text, numbers);
  if (found.state != CellState::value)
    return Value::unusable(found.wanted == "a number" ? "a level in dBm, such as -20.46" : found.wanted,
                           found.advice);
  return level_of(found, heading, highest);
}

Cell<MeterValue> read_loss(std::string_view text, NumberSense& numbers) {
  using Value = Cell<MeterValue>;
  constexpr std::string_view wanted = "a loss in dB, such as 0.71";
  if (says_nothing(text)) return {};
  Cell<double> plain = numbers.read(text);
  if (!plain.has_value()) {
    if (says_dark(text) && bare_key(text).find("inf") == std::string::npos) return dark();
    const Quantities found = read_quantities(text, numbers);
    if (found.state != CellState::value || found.count != 1)
      return Value::unusable(found.wanted.empty() || found.wanted == "a number" ? wanted : found.wanted,
                             found.advice);
    if (found.parts[0].unit == Unit::dbm) return Value::unusable(wanted, "dBm is a level, not a loss");
    if (found.parts[0].unit != Unit::db && found.parts[0].unit != Unit::none)
      return Value::unusable(wanted, "check the unit");
    plain = Cell<double>::of(found.parts[0].number.value);
  }
  if (!(std::abs(plain.value) <= largest_loss_db))
    return Value::unusable("a loss of no more than 150 dB", "check the number");
  return Value::of({plain.value, false});
}

}  // namespace strandbook
