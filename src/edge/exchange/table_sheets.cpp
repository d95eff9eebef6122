#include "edge/exchange/table_sheets.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace strandbook {
namespace {

bool names_strands(const ColumnPlan& plan) {
  return plan.find(Field::strand) != nullptr || plan.find(Field::link) != nullptr;
}

bool is_usable(const ColumnPlan& plan, TableKind table) {
  const bool cable = plan.find(Field::cable) != nullptr;
  switch (table) {
    case TableKind::schedule:
      return names_strands(plan) || (cable && plan.find(Field::strand_count) != nullptr);
    case TableKind::references:
      return !plan.values.empty();
    case TableKind::readings:
      return !plan.values.empty() && !plan.holds_events &&
             (names_strands(plan) || cable || plan.find(Field::kind) != nullptr);
    case TableKind::calibrations:
      return plan.find(Field::instrument) != nullptr && plan.find(Field::calibrated_on) != nullptr &&
             (plan.find(Field::valid_through) != nullptr || plan.find(Field::valid_days) != nullptr);
    case TableKind::continuity:
      return plan.find(Field::from) != nullptr && plan.find(Field::to) != nullptr;
  }
  return false;
}

/// The better of several usable sheets: a schedule without readings, references without strands.
bool is_second_choice(const ColumnPlan& plan, TableKind table) {
  switch (table) {
    case TableKind::schedule:
      return plan.holds_readings;
    case TableKind::references:
      return names_strands(plan);
    case TableKind::readings:
    case TableKind::calibrations:
    case TableKind::continuity:
      return false;
  }
  return false;
}

bool has_data(const PlannedSheet& sheet) {
  for (std::size_t row = sheet.plan.rows.first_data; row < sheet.grid->rows(); ++row)
    if (!is_blank_row(*sheet.grid, row)) return true;
  return false;
}

std::string headings_of(const PlannedSheet& sheet) {
  std::string names;
  const std::vector<std::string>& found = sheet.plan.rows.headings;
  for (const std::string& heading : found)
    if (!heading.empty()) names += (names.empty() ? "" : ", ") + heading;
  if (!names.empty()) return names;
  for (std::size_t row = 0; row < sheet.grid->rows() && names.empty(); ++row)
    for (const std::string& cell : cells_of(*sheet.grid, row))
      if (!cell.empty()) names += (names.empty() ? "" : ", ") + cell;
  return names;
}

std::string_view needed_by(TableKind table) {
  switch (table) {
    case TableKind::schedule:
      return "a column that names the strand or the link";
    case TableKind::references:
      return "a column of reference power in dBm";
    case TableKind::readings:
      return "a column that names the strand or the link, and one of loss (dB) or power (dBm)";
    case TableKind::calibrations:
      return "columns for the instrument, the day of its calibration, and the last day it is valid or for "
             "how "
             "many days";
    case TableKind::continuity:
      return "a column for the port that light was sent into, and one for the port where it was seen";
  }
  return {};
}

Problem no_usable_sheet(const std::vector<PlannedSheet>& sheets, TableKind table) {
  const PlannedSheet& first = sheets.front();
  Place at{first.grid->file(), sheets.size() == 1 ? first.grid->sheet() : std::string(), 0, {}};
  if (sheets.size() == 1 && first.plan.rows.found) at.row = first.plan.rows.first + 1;
  std::string found;
  for (const PlannedSheet& sheet : sheets)
    found += (found.empty() ? "headings: " : " | ") + headings_of(sheet);
  return {at, found,
          fmt::format("{}; {} knows the fields {}", needed_by(table), name_of(table), field_names(table)),
          first.plan.holds_events ? "these are events of a backscatter trace, not end-to-end readings"
                                  : "name the columns with --columns \"field=heading; field:=constant\""};
}

Problem no_data(const std::string& file) {
  return {Place{file, {}, 0, {}}, "no row of data", "headings and at least one row below them",
          "is it the right file?"};
}

/// The first choice whose heading no sheet has.
const ColumnChoice* unmatched_choice(const std::vector<ColumnChoice>& choices,
                                     const std::vector<PlannedSheet>& sheets) {
  for (std::size_t c = 0; c < choices.size(); ++c) {
    const bool matched = std::any_of(sheets.begin(), sheets.end(), [c](const PlannedSheet& s) {
      return std::find(s.plan.matched_choices.begin(), s.plan.matched_choices.end(), c) !=
             s.plan.matched_choices.end();
    });
    if (choices[c].demanded && !matched) return &choices[c];
  }
  return nullptr;
}

Problem missing_heading(const ColumnChoice& choice, const std::vector<PlannedSheet>& sheets,
                        TableKind table) {
  std::string found;
  for (const PlannedSheet& sheet : sheets)
    found += (found.empty() ? "headings: " : " | ") + headings_of(sheet);
  return {Place{sheets.front().grid->file(), {}, 0, {}}, found,
          fmt::format("a column \"{}\" for {}", choice.text, choice.field.name),
          fmt::format("write the heading as it stands in the file; if the choice is meant for another table "
                      "only, write for "
                      "example {}.{}=...",
                      table == TableKind::readings ? "schedule" : "readings", choice.field.name)};
}

/// Keeps the sheets to be read; says of the others why not.
PlannedSheets sorted_out(std::vector<PlannedSheet> all, TableKind table) {
  PlannedSheets kept;
  const auto good = [&](const PlannedSheet& s) {
    return is_usable(s.plan, table) && !is_second_choice(s.plan, table) && has_data(s);
  };
  const bool any_good = std::any_of(all.begin(), all.end(), good);
  for (PlannedSheet& sheet : all) {
    const bool keep = any_good ? good(sheet) : is_usable(sheet.plan, table) && has_data(sheet);
    if (keep) {
      kept.sheets.push_back(std::move(sheet));
    } else if (!headings_of(sheet).empty()) {
      kept.notes.push_back(
          {sheet.grid->file(), sheet.grid->sheet(), fmt::format("sheet not read as {}", name_of(table))});
    }
  }
  return kept;
}

}  // namespace

Result<PlannedSheets> plan_sheets(const std::vector<Grid>& sheets, TableKind table,
                                  const ImportChoices& choices) {
  const auto chosen = choices_for(table, choices.columns);
  if (!chosen) return chosen.problem();
  if (sheets.empty()) return no_data({});
  std::vector<PlannedSheet> all;
  bool anything = false;
  for (const Grid& grid : sheets) {
    all.push_back({&grid, plan_columns(grid, table, *chosen)});
    anything = anything || !headings_of(all.back()).empty();
  }
  if (!anything) return no_data(sheets.front().file());
  if (const ColumnChoice* missing = unmatched_choice(*chosen, all))
    return missing_heading(*missing, all, table);
  const bool usable =
      std::any_of(all.begin(), all.end(), [&](const auto& s) { return is_usable(s.plan, table); });
  if (!usable) return no_usable_sheet(all, table);
  PlannedSheets kept = sorted_out(std::move(all), table);
  if (kept.sheets.empty()) return no_data(sheets.front().file());
  return kept;
}

}  // namespace strandbook
