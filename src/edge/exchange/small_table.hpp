#pragma once
// Small tables with a fixed set of columns, from delimited text, XLSX or ODS: arrays, cords, inspections.
// Schedule, references and readings have columns of many more kinds: table_import.hpp.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/problem/problem.hpp"
#include "edge/exchange/cell_quantity.hpp"
#include "edge/exchange/grid.hpp"

namespace strandbook {

enum class CellKind : std::uint8_t { text, count, number };
enum class ColumnNeed : std::uint8_t {
  optional,
  column,  ///< the column must be there, its cells may be blank
  filled   ///< and no cell of it may be blank
};

/// A column that a table may have. Where `unit` is not none, its cells are numbers and come out in that unit,
/// whatever unit of the same sort the heading or the cell names.
struct TableColumn {
  std::string_view key;       ///< its name in the program: "near"
  std::string_view synonyms;  ///< other headings as bare keys (bare_key), parted by blanks, without units
  CellKind kind = CellKind::text;
  ColumnNeed need = ColumnNeed::optional;
  Unit unit = Unit::none;
  double least = -1e9;  ///< of a count or number, in the unit
  double most = 1e9;
  bool may_be_dark = false;  ///< of a count: it may say "no light" too, as columns of dB and dBm always may
};

/// A filled cell. One that says "no light" where it may has no number.
struct SmallCell {
  std::string heading;
  std::string text;
  std::optional<double> number;
};

struct SmallRow {
  Place at;
  std::map<std::string, SmallCell, std::less<>> cells;  ///< by key; blank cells are left out
  const std::string& text(std::string_view key) const;  ///< empty where the cell is blank
  std::optional<double> number(std::string_view key) const;
  /// That this cell cannot be used, with its place.
  Problem refusal(std::string_view key, std::string wanted, std::string advice) const;
};

struct SmallTable {
  std::vector<std::string> columns;  ///< keys of the columns found on any sheet
  std::vector<SmallRow> rows;
  std::vector<Problem> unread;   ///< cells and rows that cannot be used; none of such a row is in `rows`
  std::vector<SmallRow> spoilt;  ///< those rows, with their other cells: what they are about is not lost
  std::vector<ImportNote> notes;
  bool has(std::string_view key) const;
};

/// Reads every sheet that has the needed columns; title rows may stand above the headings. Case, blanks,
/// punctuation and units in headings aside. `what` names the table in a Problem: "found positions". Fails
/// where no sheet has the needed columns, where two headings mean the same column, where a heading names a
/// unit of another sort, or where there is no row below the headings.
Result<SmallTable> read_small_table(const std::vector<Grid>& sheets, const std::vector<TableColumn>& columns,
                                    std::string_view what);
/// The same from a file.
Result<SmallTable> read_small_table(const std::string& path, const std::vector<TableColumn>& columns,
                                    std::string_view what);

}  // namespace strandbook
