#include <algorithm>
#include <iterator>

#include "edge/exchange/reference_row.hpp"
#include "edge/exchange/table_import.hpp"

namespace strandbook {
namespace {

class ReferenceSheet {
 public:
  ReferenceSheet(const PlannedSheet& sheet, DateOrder order) : rows(sheet, order) {
    for (std::size_t row = rows.first(); row < rows.end(); ++row) read(row);
    rows.finish();
  }
  SheetRows rows;
  std::vector<Reference> references;

 private:
  void read(std::size_t row) {
    rows.begin_row();
    if (rows.is_passed_over(row)) return;
    const auto kind = kind_of(row);
    if (!kind) return;
    auto found = references_in(rows, row, *kind);
    std::move(found.begin(), found.end(), std::back_inserter(references));
  }

  /// Rows of readings are passed over where a `kind` column marks them, and listed where only the strand
  /// does.
  std::optional<RowKind> kind_of(std::size_t row) {
    const PlannedColumn* column = rows.plan().find(Field::kind);
    const std::string_view text = rows.text(column, row);
    if (!text.empty()) {
      const auto kind = parse_row_kind(text);
      if (!kind) rows.refuse(*column, row, "reading, reference or reference-check", "correct the cell");
      return kind == RowKind::reading ? std::nullopt : kind;
    }
    if (rows.text(rows.plan().find(Field::strand), row).empty()) return RowKind::reference;
    rows.refuse_row(row, row_text(rows.grid(), row), "a reference: this row names a strand",
                    "move it to the readings");
    return std::nullopt;
  }
};

}  // namespace

Result<ImportedReferences> import_references(const std::vector<Grid>& sheets, const ImportChoices& choices) {
  auto planned = plan_sheets(sheets, TableKind::references, choices);
  if (!planned) return planned.problem();
  ImportedReferences all;
  all.notes = std::move(planned->notes);
  for (const PlannedSheet& sheet : planned->sheets) {
    ReferenceSheet read(sheet, choices.date_order);
    std::move(read.references.begin(), read.references.end(), std::back_inserter(all.references));
    std::move(read.rows.unread.begin(), read.rows.unread.end(), std::back_inserter(all.unread));
    std::move(read.rows.notes.begin(), read.rows.notes.end(), std::back_inserter(all.notes));
  }
  return all;
}

}  // namespace strandbook
