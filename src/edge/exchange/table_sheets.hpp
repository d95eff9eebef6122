#pragma once
// Which sheets of a file hold the table that is wanted, and how their columns are understood.

#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/problem/problem.hpp"
#include "edge/exchange/column_plan.hpp"
#include "edge/exchange/table_import.hpp"

namespace strandbook {

struct PlannedSheet {
  const Grid* grid = nullptr;
  ColumnPlan plan;
};

struct PlannedSheets {
  std::vector<PlannedSheet> sheets;  ///< one or more, each with rows of data
  std::vector<ImportNote> notes;
};

/// Sheets without the columns that the table needs are passed over with a note. Fails where no sheet has
/// them, where none has a row of data, or where a heading that the person named is on no sheet.
Result<PlannedSheets> plan_sheets(const std::vector<Grid>& sheets, TableKind table,
                                  const ImportChoices& choices);

}  // namespace strandbook
