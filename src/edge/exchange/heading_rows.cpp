#include "edge/exchange/heading_rows.hpp"

#include <algorithm>
#include <optional>

#include "edge/exchange/cell_number.hpp"
#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/cell_value.hpp"
#include "edge/exchange/heading_words.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_heading_rows = 3;

bool is_number(std::string_view text) { return read_numeral(text).form != NumeralForm::not_a_number; }

bool is_known(const HeadingMeaning& meaning) {
  return meaning.field != Field::unknown || is_partial(meaning) || meaning.unit != Unit::none;
}

/// A row that can stand below an upper heading row: units, directions, wavelengths, known headings only.
/// Bare numbers only if they are wavelengths and some cell of the row is blank (merged with the one above).
bool is_lower_heading(const std::vector<std::string>& cells) {
  bool any = false;
  bool number = false;
  bool gap = false;
  for (const std::string& cell : cells) {
    gap = gap || says_nothing(cell);
    if (says_nothing(cell)) continue;
    const HeadingMeaning meaning = meaning_of_heading(cell);
    if (!is_known(meaning)) return false;
    number = number || is_number(cell);
    any = true;
  }
  return any && (!number || gap);
}

std::size_t filled(const std::vector<std::string>& cells) {
  return static_cast<std::size_t>(
      std::count_if(cells.begin(), cells.end(), [](const auto& c) { return !c.empty(); }));
}

const std::string& cell_or_blank(const std::vector<std::string>& cells, std::size_t column) {
  static const std::string blank;
  return column < cells.size() ? cells[column] : blank;
}

/// Upper cells reach right over blank ones, but only from and to columns that have a heading below.
std::vector<std::string> combined(const std::vector<std::string>& upper,
                                  const std::vector<std::string>& lower) {
  std::vector<std::string> headings;
  std::string group;
  for (std::size_t column = 0; column < std::max(upper.size(), lower.size()); ++column) {
    const std::string& above = cell_or_blank(upper, column);
    const std::string& given = cell_or_blank(lower, column);
    const std::string below = says_nothing(given) ? std::string() : given;
    if (!above.empty()) group = below.empty() ? std::string() : above;
    const std::string& top = above.empty() && !below.empty() ? group : above;
    std::string heading = top;
    if (!top.empty() && !below.empty()) heading += ' ';
    headings.push_back(heading += below);
  }
  return headings;
}

/// How well cells read as headings; below 0 where they look like data.
int score_of(const std::vector<std::string>& headings, const std::vector<std::string>& chosen) {
  int score = 0;
  for (const std::string& heading : headings) {
    if (heading.empty()) continue;
    if (std::find(chosen.begin(), chosen.end(), bare_key(heading)) != chosen.end()) {
      score += 6;
      continue;
    }
    const HeadingMeaning meaning = meaning_of_heading(heading);
    if (is_number(heading)) {
      score += meaning.wavelength_nm != 0 ? 0 : -3;
    } else if (meaning.field != Field::unknown) {
      score += 2;
    } else if (is_partial(meaning)) {
      score += 1;
    }
  }
  return score;
}

HeadingRows headings_from(const Grid& grid, std::size_t row) {
  HeadingRows found{row, row + 1, cells_of(grid, row), true};
  if (filled(found.headings) < 2) return found;
  while (found.first_data - row < most_heading_rows && found.first_data < grid.rows()) {
    const std::vector<std::string> lower = cells_of(grid, found.first_data);
    if (!is_lower_heading(lower)) break;
    found.headings = combined(found.headings, lower);
    ++found.first_data;
  }
  return found;
}

std::optional<TitleFact> fact_of(std::size_t row, const std::string& label, const std::string& value) {
  if (value.empty() || says_nothing(value)) return std::nullopt;
  const HeadingMeaning meaning = meaning_of_heading(label);
  if (meaning.field == Field::unknown || meaning.field == Field::not_used) return std::nullopt;
  return TitleFact{row, label, value};
}

/// "Operator: N. N." at the colon; "Cable CB-7" at the first blank if the rest is one word with a digit.
std::optional<TitleFact> fact_in_one_cell(std::size_t row, const std::string& cell) {
  const std::size_t colon = cell.find(':');
  if (colon != std::string::npos)
    return fact_of(row, std::string(trimmed(cell.substr(0, colon))),
                   std::string(trimmed(cell.substr(colon + 1))));
  const std::size_t blank = cell.find(' ');
  if (blank == std::string::npos) return std::nullopt;
  const std::string value(trimmed(cell.substr(blank)));
  const bool one_word = value.find(' ') == std::string::npos;
  const bool has_digit = std::any_of(value.begin(), value.end(), is_digit);
  if (!one_word || !has_digit) return std::nullopt;
  return fact_of(row, cell.substr(0, blank), value);
}

}  // namespace

std::vector<std::string> cells_of(const Grid& grid, std::size_t row) {
  std::vector<std::string> cells;
  for (std::size_t column = 0; column < grid.width(row); ++column)
    cells.emplace_back(trimmed(grid.cell(row, column)));
  while (!cells.empty() && cells.back().empty()) cells.pop_back();
  return cells;
}

bool is_blank_row(const Grid& grid, std::size_t row) {
  for (std::size_t column = 0; column < grid.width(row); ++column)
    if (!trimmed(grid.cell(row, column)).empty()) return false;
  return true;
}

HeadingRows find_headings(const Grid& grid, const std::vector<std::string>& chosen) {
  HeadingRows best;
  int best_score = 0;
  for (std::size_t row = 0; row < std::min(grid.rows(), heading_rows_searched); ++row) {
    if (is_blank_row(grid, row)) continue;
    HeadingRows candidate = headings_from(grid, row);
    const int score = score_of(candidate.headings, chosen);
    if (score <= best_score) continue;
    best_score = score;
    best = std::move(candidate);
  }
  return best;
}

std::vector<TitleFact> title_facts(const Grid& grid, const HeadingRows& rows) {
  std::vector<TitleFact> facts;
  for (std::size_t row = 0; row < rows.first; ++row) {
    const std::vector<std::string> cells = cells_of(grid, row);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const bool ends_in_colon = cells[i].ends_with(':');
      auto fact = ends_in_colon ? std::nullopt : fact_in_one_cell(row, cells[i]);
      if (!fact && i + 1 < cells.size()) {
        fact = fact_of(row, ends_in_colon ? cells[i].substr(0, cells[i].size() - 1) : cells[i], cells[i + 1]);
        i += fact ? 1 : 0;
      }
      if (fact) facts.push_back(*fact);
    }
  }
  return facts;
}

}  // namespace strandbook
