#include "edge/exchange/reference_row.hpp"

#include "edge/exchange/cell_quantity.hpp"
#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

/// More than a watt is no test source's; references are read close to a source, so more than a receiver's.
constexpr PowerDbm strongest_source{30};

std::optional<ReferenceMethod> method_in(SheetRows& rows, std::size_t row) {
  const PlannedColumn* column = rows.plan().find(Field::method);
  const std::string_view cell = rows.text(column, row);
  if (says_nothing(cell)) return std::nullopt;
  auto method = parse_reference_method(cell);
  if (!method) {
    rows.refuse(
        *column, row, "one-cord, two-cord or three-cord",
        "the reference is kept without its method: a letter means different methods in different documents");
    rows.row_is_bad = false;
  }
  return method;
}

Reference reference_conditions(SheetRows& rows, std::size_t row, RowKind kind) {
  const auto text = [&](Field field) { return std::string(rows.text(rows.plan().find(field), row)); };
  Reference reference;
  reference.id = text(Field::reference);
  reference.kind = kind == RowKind::reference_check ? ReferenceKind::closing_check : ReferenceKind::opening;
  reference.method = method_in(rows, row);
  reference.time = rows.moment(row);
  reference.source = text(Field::source);
  reference.meter = text(Field::meter);
  reference.cords = text(Field::cords);
  reference.operator_name = text(Field::operator_name);
  reference.at = rows.grid().place(row);
  return reference;
}

/// The first filled column of the group.
const PlannedColumn* filled(const SheetRows& rows, const ValueGroup& group, std::size_t row) {
  for (const PlannedColumn& column : group.columns)
    if (column.meaning.field == Field::power && !says_nothing(rows.text(&column, row))) return &column;
  return nullptr;
}

}  // namespace

std::vector<Reference> references_in(SheetRows& rows, std::size_t row, RowKind kind) {
  Reference base = reference_conditions(rows, row, kind);
  base.wavelength = rows.wavelength(rows.plan().find(Field::wavelength), row).value_or(Nanometres{});
  base.meter_setting = rows.wavelength(rows.plan().find(Field::meter_setting), row);
  if (rows.row_is_bad) return {};
  std::vector<Reference> found;
  for (const ValueGroup& group : rows.plan().values) {
    const PlannedColumn* column = filled(rows, group, row);
    if (column == nullptr) continue;
    const auto level =
        rows.value(read_level(rows.text(column, row), column->meaning.unit, strongest_source, rows.numbers),
                   *column, row);
    if (!level) continue;
    if (level->dark) {
      rows.refuse(*column, row, "the level of the source through the test cords", "no light: no reference");
      continue;
    }
    Reference reference = base;
    if (group.wavelength_nm != 0) reference.wavelength = {group.wavelength_nm};
    reference.power = {level->value};
    reference.at.column = column->heading;
    found.push_back(std::move(reference));
  }
  if (found.empty() && !rows.row_is_bad)
    rows.refuse_row(row, row_text(rows.grid(), row), "a reference power in dBm, such as -20.46",
                    "fill the cell");
  return found;
}

}  // namespace strandbook
