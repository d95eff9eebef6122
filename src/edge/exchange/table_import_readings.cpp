#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/large_pages.hpp"
#include "edge/exchange/reading_conditions.hpp"
#include "edge/exchange/reference_row.hpp"
#include "edge/exchange/table_import.hpp"

namespace strandbook {
namespace {

/// More than this is no receiver's level; readings come from a receiver.
constexpr PowerDbm strongest_received{20};

/// Signs of the losses in one column.
struct Signs {
  std::size_t negative = 0;
  std::size_t positive = 0;
};

class ReadingSheet {
 public:
  ReadingSheet(const PlannedSheet& sheet, const ImportChoices& choices, const Schedule* schedule,
               std::uint32_t file)
      : rows(sheet, choices.date_order), conditions_(rows, set, schedule, file) {
    kind_ = sheet.plan.find(Field::kind);
    launch_ = sheet.plan.find(Field::launch_power);
    signs_.resize(sheet.plan.rows.headings.size());
    // no more than this for a start: a heading row of a thousand columns over blank rows must not cost memory
    const std::size_t lines = rows.end() - rows.first();
    set.rows.reserve(std::min(lines * sheet.plan.values.size(), lines + 65536));
    prefer_large_pages(set.rows.data(), set.rows.capacity() * sizeof(Reading));
    for (std::size_t row = rows.first(); row < rows.end(); ++row) read(row);
    settle_signs(choices.loss_sign);
    add_notes();
    rows.finish();
  }
  ReadingSet set;
  SheetRows rows;
  std::vector<Reference> references;

 private:
  void read(std::size_t row) {
    rows.begin_row();
    if (rows.is_passed_over(row)) return;
    const auto kind = kind_of(row);
    if (!kind) return;
    if (*kind != RowKind::reading) {
      auto found = references_in(rows, row, *kind);
      std::move(found.begin(), found.end(), std::back_inserter(references));
      return;
    }
    const Reading conditions = conditions_.read(row);
    if (!conditions_.is_named(conditions)) {
      rows.refuse_row(row, row_text(rows.grid(), row), "the name of a strand or link",
                      "name it, or delete the row");
      return;
    }
    if (!rows.row_is_bad && !read_values(conditions, row)) list_as_unmeasured(row);
  }

  std::optional<RowKind> kind_of(std::size_t row) {
    const std::string_view text = rows.text(kind_, row);
    if (text.empty()) return RowKind::reading;
    const auto kind = parse_row_kind(text);
    if (!kind) rows.refuse(*kind_, row, "reading, reference or reference-check", "correct the cell");
    return kind;
  }

  /// Whether any value cell of the row is filled.
  bool read_values(const Reading& conditions, std::size_t row) {
    bool any = false;
    for (const ValueGroup& group : rows.plan().values) {
      for (const PlannedColumn& column : group.columns) {
        const std::string_view text = rows.text(&column, row);
        if (says_nothing(text)) continue;
        any = true;
        read_value(conditions, group, column, row, text);
        break;
      }
    }
    return any;
  }

  void read_value(const Reading& conditions, const ValueGroup& group, const PlannedColumn& column,
                  std::size_t row, std::string_view text) {
    const bool is_loss = column.meaning.field == Field::loss;
    const Cell<MeterValue> cell =
        is_loss ? read_loss(text, rows.numbers)
                : read_level(text, column.meaning.unit, strongest_received, rows.numbers);
    const auto value = rows.value(cell, column, row);
    if (!value) return;
    if (!is_loss && is_unused_lane(value->value, row))
      return rows.refuse(column, row, "a level from a lane in use",
                         "0.0 received and sent: lane not in use, not a milliwatt");
    Reading& reading = set.rows.emplace_back(conditions);
    reading.value = value->value;
    reading.kind = value->dark ? ReadingKind::no_light : is_loss ? ReadingKind::loss : ReadingKind::power;
    if (group.wavelength_nm != 0) reading.wavelength = {group.wavelength_nm};
    if (group.direction) reading.direction = group.direction;
    reading.column = static_cast<std::uint16_t>(std::min<std::size_t>(column.index + 1, 0xFFFF));
    if (!is_loss || value->dark) return;
    Signs& signs = signs_[column.index];
    signs.negative += value->value < 0 ? 1 : 0;
    signs.positive += value->value > 0 ? 1 : 0;
  }

  /// Modules print exactly 0.0 for both ways of a lane that is not there.
  bool is_unused_lane(double received, std::size_t row) {
    if (launch_ == nullptr || received != 0) return false;
    const Cell<double> sent = rows.numbers.read(rows.text(launch_, row));
    return sent.has_value() && sent.value == 0;
  }

  /// In a wide table blank cells are simply no readings; a row with one value to give has not given it.
  void list_as_unmeasured(std::size_t row) {
    if (rows.plan().values.size() > 1) {
      if (blank_rows_++ == 0) first_blank_ = row;
      return;
    }
    const PlannedColumn& column = rows.plan().values.front().columns.front();
    rows.refuse(column, row, column.meaning.field == Field::loss ? "a loss in dB" : "a level in dBm",
                "not measured yet?");
  }

  void settle_signs(LossSign sign) {
    Signs all;
    for (const Signs& column : signs_) {
      all.negative += column.negative;
      all.positive += column.positive;
    }
    if (sign == LossSign::change_of_level) return turn_signs();
    if (all.negative > 1 && all.positive == 0)
      note(
          "all losses are written negative: if this file writes change of level, confirm with --loss-sign "
          "change-of-level");
  }

  void turn_signs() {
    for (Reading& reading : set.rows)
      if (reading.kind == ReadingKind::loss && signs_[reading.column - 1U].positive == 0)
        reading.value = 0 - reading.value;
    for (const ValueGroup& group : rows.plan().values)
      for (const PlannedColumn& column : group.columns) note_sign(column, signs_[column.index]);
  }

  void note_sign(const PlannedColumn& column, const Signs& signs) {
    if (signs.positive == 0 && signs.negative > 0)
      note(fmt::format("column \"{}\" is read as change of level: {} losses change their sign",
                       column.heading, signs.negative));
    if (signs.positive > 0 && signs.negative > 0)
      note(fmt::format("column \"{}\" is kept as written: {} of its values are negative, others positive",
                       column.heading, signs.negative));
    if (signs.positive > 0 && signs.negative == 0)
      note(fmt::format("column \"{}\" is kept as written: it holds no negative value", column.heading));
  }

  void add_notes() {
    if (blank_rows_ > 0)
      note(fmt::format("{} rows hold no value, the first is row {}: nothing measured there", blank_rows_,
                       first_blank_ + 1));
    if (rows.plan().find(Field::link) == nullptr && rows.plan().find(Field::cable) != nullptr)
      note("no column of links: the cable stands for the link");
  }

  void note(std::string text) {
    rows.notes.push_back({rows.grid().file(), rows.grid().sheet(), std::move(text)});
  }

  ReadingConditions conditions_;
  const PlannedColumn* kind_ = nullptr;
  const PlannedColumn* launch_ = nullptr;
  std::vector<Signs> signs_;
  std::size_t blank_rows_ = 0;
  std::size_t first_blank_ = 0;
};

/// Strands 1, 2, ... of several sheets are different ones if each sheet's title names another cable.
void name_links_by_titles(std::vector<PlannedSheet>& sheets) {
  if (sheets.size() < 2) return;
  for (PlannedSheet& sheet : sheets) {
    ColumnPlan& plan = sheet.plan;
    if (plan.title_cable.empty() || plan.find(Field::link) != nullptr || plan.find(Field::cable) != nullptr)
      continue;
    PlannedColumn cable{no_column, "title", {}, plan.title_cable};
    cable.meaning.field = Field::cable;
    plan.columns.push_back(std::move(cable));
  }
}

}  // namespace

Result<ImportedReadings> import_readings(const std::vector<Grid>& sheets, const ImportChoices& choices,
                                         const Schedule* schedule) {
  auto planned = plan_sheets(sheets, TableKind::readings, choices);
  if (!planned) return planned.problem();
  name_links_by_titles(planned->sheets);
  ImportedReadings all;
  all.notes = std::move(planned->notes);
  for (const PlannedSheet& sheet : planned->sheets) {
    ReadingSheet read(sheet, choices, schedule, 0);
    read.set.files.push_back({sheet.grid->file(), sheet.grid->sheet()});
    read.set.keep(sheet.grid->buffer());
    all.readings.append(std::move(read.set));
    std::move(read.references.begin(), read.references.end(), std::back_inserter(all.references));
    std::move(read.rows.unread.begin(), read.rows.unread.end(), std::back_inserter(all.unread));
    std::move(read.rows.notes.begin(), read.rows.notes.end(), std::back_inserter(all.notes));
  }
  return all;
}

}  // namespace strandbook
