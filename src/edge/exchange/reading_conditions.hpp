#pragma once
// Under which conditions a row of readings was taken: names, wavelength, direction, time.

#include <string_view>
#include <utility>
#include <vector>

#include "edge/exchange/end_directions.hpp"
#include "edge/exchange/recent_cells.hpp"
#include "edge/exchange/sheet_rows.hpp"

namespace strandbook {

class ReadingConditions {
 public:
  /// `rows`, `set` and `schedule` (which may be null) must outlive this. Texts that stand in no cell are
  /// kept in `set`. `file` is the index of the sheet in ReadingSet::files.
  ReadingConditions(SheetRows& rows, ReadingSet& set, const Schedule* schedule, std::uint32_t file);

  /// A reading without its value; rows.row_is_bad where a cell cannot be used.
  Reading read(std::size_t row);
  /// Whether the sheet tells directions at all by row.
  bool is_named(const Reading& reading) const { return !reading.strand.empty() || !reading.link.empty(); }

 private:
  struct TextColumn {
    std::string_view Reading::*member;
    const PlannedColumn* column;
    std::string_view constant;
  };
  void add_text(std::string_view Reading::*member, Field field, ReadingSet& set);
  void read_wavelengths(Reading& reading, std::size_t row);
  void read_direction(Reading& reading, std::size_t row);
  void direction_from_ends(Reading& reading, std::size_t row);
  std::optional<Nanometres> wavelength(const PlannedColumn* column, RecentCells<Cell<Nanometres>>& recent,
                                       std::size_t row);
  SheetRows& rows_;
  EndDirections ends_;
  Reading blank_;
  std::vector<TextColumn> texts_;
  const PlannedColumn* wavelength_;
  const PlannedColumn* meter_setting_;
  const PlannedColumn* direction_;
  const PlannedColumn* from_;
  const PlannedColumn* to_;
  const PlannedColumn* uncertainty_;
  const PlannedColumn* length_;
  bool has_moment_;
  RecentCells<Cell<Nanometres>> wavelengths_;
  RecentCells<Cell<Nanometres>> settings_;
  RecentCells<std::optional<Direction>> directions_;
};

}  // namespace strandbook
