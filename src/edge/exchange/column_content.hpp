#pragma once
// Where a heading leaves doubt, the cells below it settle what the column is.

#include <cstdint>
#include <optional>
#include <string_view>

#include "domain/link/link.hpp"
#include "edge/exchange/grid.hpp"

namespace strandbook {

/// What a row of a readings file records.
enum class RowKind : std::uint8_t { reading, reference, reference_check };
std::optional<RowKind> parse_row_kind(std::string_view text);

/// "OM3", "50/125 OM3", "SM (9/125)"; the most telling word counts.
std::optional<FibreCategory> category_in(std::string_view text);

/// "AB", "A→B", "a nach b".
std::optional<Direction> direction_in(std::string_view text);

/// Among the first filled cells of the column, from `row` on, is there one of the sort?
bool holds_categories(const Grid& grid, std::size_t row, std::size_t column);
bool holds_row_kinds(const Grid& grid, std::size_t row, std::size_t column);
bool holds_counts(const Grid& grid, std::size_t row, std::size_t column);

/// "Total strands: 2", "Mittelwert": a row that sums up others.
bool is_summary(std::string_view first_cell);

}  // namespace strandbook
