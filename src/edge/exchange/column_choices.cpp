#include "edge/exchange/column_choices.hpp"

#include <optional>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

std::optional<TableKind> table_named(std::string_view name) {
  for (const TableKind table : table_kinds)
    if (bare_key(name) == name_of(table)) return table;
  return std::nullopt;
}

Problem bad_choice(std::string_view entry, TableKind table) {
  return {Place{"column choices", {}, 0, {}}, std::string(entry),
          "field=heading or field:=constant, with a field of: " + field_names(table),
          "write it like loss_db=IL; wavelength_nm:=1310, or readings.loss_db=IL for one table only"};
}

/// Fields that a table cannot do without: a choice of such a field is meant for every table that has it.
bool in_contract(Field field, TableKind table) {
  if (table == TableKind::readings)
    return field != Field::length && field != Field::method && field != Field::cable;
  if (table == TableKind::references) return field != Field::link && field != Field::strand;
  return true;
}

struct Entry {
  std::optional<TableKind> scope;
  std::string_view field;
  std::string_view text;
  bool constant = false;
};

std::optional<Entry> split(std::string_view text) {
  const std::size_t equals = text.find('=');
  if (equals == std::string_view::npos) return std::nullopt;
  Entry entry;
  entry.constant = equals > 0 && text[equals - 1] == ':';
  entry.field = trimmed(text.substr(0, entry.constant ? equals - 1 : equals));
  entry.text = trimmed(text.substr(equals + 1));
  if (const std::size_t dot = entry.field.find('.'); dot != std::string_view::npos) {
    entry.scope = table_named(trimmed(entry.field.substr(0, dot)));
    if (!entry.scope) return std::nullopt;
    entry.field = trimmed(entry.field.substr(dot + 1));
  }
  if (entry.field.empty() || entry.text.empty()) return std::nullopt;
  return entry;
}

}  // namespace

std::string_view name_of(TableKind table) {
  switch (table) {
    case TableKind::schedule:
      return "schedule";
    case TableKind::references:
      return "references";
    case TableKind::readings:
      return "readings";
    case TableKind::calibrations:
      return "calibrations";
    case TableKind::continuity:
      return "continuity";
  }
  return {};
}

std::string field_names(TableKind table) {
  std::string names;
  for (const NamedField& field : fields_of(table))
    names += (names.empty() ? "" : ", ") + std::string(field.name);
  return names;
}

Result<std::vector<ColumnChoice>> choices_for(TableKind table, std::string_view columns) {
  std::vector<ColumnChoice> choices;
  while (!columns.empty()) {
    const std::size_t end = columns.find_first_of(";\n");
    const std::string_view text = trimmed(columns.substr(0, end));
    columns.remove_prefix(end == std::string_view::npos ? columns.size() : end + 1);
    if (text.empty()) continue;
    const auto entry = split(text);
    if (!entry) return bad_choice(text, table);
    if (entry->scope && *entry->scope != table) {
      if (!field_by_name(entry->field, *entry->scope)) return bad_choice(text, *entry->scope);
      continue;
    }
    const auto field = field_by_name(entry->field, table);
    if (!field && (entry->scope || !is_field_name(entry->field))) return bad_choice(text, table);
    if (!field) continue;
    choices.push_back({*field, std::string(entry->text), entry->constant,
                       !entry->constant && (entry->scope.has_value() || in_contract(field->field, table))});
  }
  return choices;
}

}  // namespace strandbook
