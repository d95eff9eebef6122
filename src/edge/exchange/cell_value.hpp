#pragma once
// What a single cell comes to: nothing, a value, or something that cannot be used, with the reason.

#include <cstdint>
#include <string_view>

namespace strandbook {

enum class CellState : std::uint8_t { blank, value, unusable };

/// Value of one cell. Where it is unusable, `wanted` and `advice` say it to the technician (static texts).
template <class T>
struct Cell {
  CellState state = CellState::blank;
  T value{};
  std::string_view wanted;
  std::string_view advice;

  static constexpr Cell of(T v) { return {CellState::value, v, {}, {}}; }
  static constexpr Cell unusable(std::string_view wanted, std::string_view advice = {}) {
    return {CellState::unusable, T{}, wanted, advice};
  }
  constexpr bool has_value() const { return state == CellState::value; }
};

/// Marks that people put where nothing was measured: "-", "n/a". Blank cells too.
bool says_nothing(std::string_view trimmed_text);

/// Why a text that should be a number is none, as far as that can be told: "letter O, not zero?".
std::string_view number_advice(std::string_view text);

}  // namespace strandbook
