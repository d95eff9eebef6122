#include "edge/exchange/column_content.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "edge/exchange/cell_number.hpp"
#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

constexpr std::size_t cells_looked_at = 200;

/// Whether `fits` holds for any of the first filled cells.
template <class Fits>
bool any_cell(const Grid& grid, std::size_t row, std::size_t column, Fits fits) {
  std::size_t seen = 0;
  for (; row < grid.rows() && seen < cells_looked_at; ++row) {
    const std::string_view text = trimmed(grid.cell(row, column));
    if (text.empty()) continue;
    if (fits(text)) return true;
    ++seen;
  }
  return false;
}

bool unstated(FibreCategory category) {
  return category == FibreCategory::multimode_unstated || category == FibreCategory::single_mode_unstated;
}

bool same_word(std::string_view text, std::string_view lower_word) {
  return text.size() == lower_word.size() && std::equal(text.begin(), text.end(), lower_word.begin(),
                                                        [](char a, char b) { return in_lower_case(a) == b; });
}

}  // namespace

std::optional<RowKind> parse_row_kind(std::string_view text) {
  static constexpr auto words =
      std::to_array<std::pair<std::string_view, RowKind>>({{"reading", RowKind::reading},
                                                           {"readings", RowKind::reading},
                                                           {"measurement", RowKind::reading},
                                                           {"test", RowKind::reading},
                                                           {"messung", RowKind::reading},
                                                           {"mesure", RowKind::reading},
                                                           {"medida", RowKind::reading},
                                                           {"medicion", RowKind::reading},
                                                           {"reference", RowKind::reference},
                                                           {"ref", RowKind::reference},
                                                           {"opening", RowKind::reference},
                                                           {"openingreference", RowKind::reference},
                                                           {"referenz", RowKind::reference},
                                                           {"referencia", RowKind::reference},
                                                           {"referencecheck", RowKind::reference_check},
                                                           {"refcheck", RowKind::reference_check},
                                                           {"check", RowKind::reference_check},
                                                           {"closing", RowKind::reference_check},
                                                           {"closingcheck", RowKind::reference_check},
                                                           {"closingreference", RowKind::reference_check},
                                                           {"driftcheck", RowKind::reference_check},
                                                           {"referenzkontrolle", RowKind::reference_check},
                                                           {"referenzprufung", RowKind::reference_check}});
  const std::string key = bare_key(text);
  for (const auto& [word, kind] : words)
    if (word == key) return kind;
  return std::nullopt;
}

std::optional<FibreCategory> category_in(std::string_view text) {
  if (const auto whole = parse_fibre_category(text)) return whole;
  std::optional<FibreCategory> best;
  constexpr std::string_view gaps = " ,;()[]";
  while (!text.empty()) {
    const std::size_t end = text.find_first_of(gaps);
    const auto found = end == 0 ? std::nullopt : parse_fibre_category(text.substr(0, end));
    if (found && (!best || (unstated(*best) && !unstated(*found)))) best = found;
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return best;
}

std::optional<Direction> direction_in(std::string_view text) {
  if (const auto direction = parse_direction(text)) return direction;
  static constexpr auto words =
      std::to_array<std::pair<std::string_view, Direction>>({{"anachb", Direction::a_to_b},
                                                             {"bnacha", Direction::b_to_a},
                                                             {"aversb", Direction::a_to_b},
                                                             {"bversa", Direction::b_to_a},
                                                             {"ahaciab", Direction::a_to_b},
                                                             {"bhaciaa", Direction::b_to_a}});
  const std::string key = bare_key(text);
  for (const auto& [word, direction] : words)
    if (word == key) return direction;
  return std::nullopt;
}

bool holds_categories(const Grid& grid, std::size_t row, std::size_t column) {
  return any_cell(grid, row, column, [](std::string_view text) { return category_in(text).has_value(); });
}

bool holds_row_kinds(const Grid& grid, std::size_t row, std::size_t column) {
  return any_cell(grid, row, column, [](std::string_view text) { return parse_row_kind(text).has_value(); });
}

bool holds_counts(const Grid& grid, std::size_t row, std::size_t column) {
  return any_cell(grid, row, column,
                  [](std::string_view text) { return read_plain_number(text).has_value(); });
}

bool is_summary(std::string_view cell) {
  static constexpr auto words = std::to_array<std::string_view>(
      {"total",        "totals",  "totaux",   "totales", "subtotal", "sum",     "summe",
       "somme",        "suma",    "gesamt",   "average", "avg",      "mean",    "mittelwert",
       "durchschnitt", "moyenne", "promedio", "media",   "median",   "minimum", "maximum",
       "min",          "max",     "count",    "anzahl"});
  std::size_t end = 0;
  while (end < cell.size() && is_letter(cell[end])) ++end;
  if (end < 3 || (end < cell.size() && cell[end] != ' ' && cell[end] != ':')) return false;
  const std::string_view word = cell.substr(0, end);
  return std::any_of(words.begin(), words.end(), [&](std::string_view w) { return same_word(word, w); });
}

}  // namespace strandbook
