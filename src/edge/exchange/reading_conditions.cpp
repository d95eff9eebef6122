#include "edge/exchange/reading_conditions.hpp"

#include "edge/exchange/cell_quantity.hpp"
#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/column_content.hpp"

namespace strandbook {

ReadingConditions::ReadingConditions(SheetRows& rows, ReadingSet& set, const Schedule* schedule,
                                     std::uint32_t file)
    : rows_(rows),
      ends_(schedule),
      wavelength_(rows.plan().find(Field::wavelength)),
      meter_setting_(rows.plan().find(Field::meter_setting)),
      direction_(rows.plan().find(Field::direction)),
      from_(rows.plan().find(Field::from)),
      to_(rows.plan().find(Field::to)),
      uncertainty_(rows.plan().find(Field::uncertainty)),
      length_(rows.plan().find(Field::length)),
      has_moment_(rows.plan().find(Field::time) != nullptr || rows.plan().find(Field::date) != nullptr) {
  blank_.file = file;
  const bool cable_is_link = rows.plan().find(Field::link) == nullptr;
  add_text(&Reading::link, cable_is_link ? Field::cable : Field::link, set);
  add_text(&Reading::strand, Field::strand, set);
  add_text(&Reading::reference, Field::reference, set);
  add_text(&Reading::source, Field::source, set);
  add_text(&Reading::meter, Field::meter, set);
  add_text(&Reading::cords, Field::cords, set);
  add_text(&Reading::operator_name, Field::operator_name, set);
}

void ReadingConditions::add_text(std::string_view Reading::*member, Field field, ReadingSet& set) {
  const PlannedColumn* column = rows_.plan().find(field);
  if (column == nullptr) return;
  const std::string_view constant =
      column->constant.empty() ? std::string_view{} : set.keep_text(column->constant);
  if (column->index == no_column) {
    blank_.*member = constant;
  } else {
    texts_.push_back({member, column, constant});
  }
}

Reading ReadingConditions::read(std::size_t row) {
  Reading reading = blank_;
  reading.row = static_cast<std::uint32_t>(row + 1);
  for (const TextColumn& text : texts_) {
    const std::string_view cell = trimmed(rows_.grid().cell(row, text.column->index));
    reading.*text.member = cell.empty() ? text.constant : cell;
  }
  read_wavelengths(reading, row);
  read_direction(reading, row);
  if (uncertainty_ != nullptr) {
    const auto u = rows_.decibels(uncertainty_, row);
    if (u) reading.standard_uncertainty_db = uncertainty_->meaning.expanded ? u->value / 2 : u->value;
  }
  if (length_ != nullptr) {
    // the loss stands without it; a limit that needs the length cannot be worked out then
    const bool was_bad = rows_.row_is_bad;
    const auto length = rows_.length(length_, row);
    if (length) reading.length_m = length->value;
    rows_.row_is_bad = was_bad;
  }
  if (has_moment_) {
    const auto moment = rows_.moment(row);
    reading.has_time = moment.has_value();
    if (moment) reading.time = *moment;
  }
  return reading;
}

std::optional<Nanometres> ReadingConditions::wavelength(const PlannedColumn* column,
                                                        RecentCells<Cell<Nanometres>>& recent,
                                                        std::size_t row) {
  if (column == nullptr) return std::nullopt;
  const Cell<Nanometres>& cell = recent.find(rows_.text(column, row), [&](std::string_view text) {
    return read_wavelength(text, column->meaning.unit, rows_.numbers);
  });
  return rows_.value(cell, *column, row);
}

void ReadingConditions::read_wavelengths(Reading& reading, std::size_t row) {
  if (const auto nm = wavelength(wavelength_, wavelengths_, row)) reading.wavelength = *nm;
  if (const auto nm = wavelength(meter_setting_, settings_, row)) reading.meter_setting = *nm;
}

void ReadingConditions::read_direction(Reading& reading, std::size_t row) {
  const std::string_view text = rows_.text(direction_, row);
  if (text.empty()) return direction_from_ends(reading, row);
  if (says_nothing(text)) return;
  reading.direction = directions_.find(text, [](std::string_view t) { return direction_in(t); });
  if (reading.direction) return;
  const NamedEnds ends = split_ends(text);
  if (!ends.from.empty()) reading.direction = ends_.find(reading.link, reading.strand, ends);
  if (!reading.direction)
    rows_.refuse(*direction_, row, "AB or BA, or the two ends as the schedule names them",
                 "A is the schedule's end_a");
}

void ReadingConditions::direction_from_ends(Reading& reading, std::size_t row) {
  const NamedEnds ends{rows_.text(from_, row), rows_.text(to_, row)};
  if (ends.from.empty() && ends.to.empty()) return;
  if (!is_named(reading)) return;  // a reference row
  reading.direction = ends_.find(reading.link, reading.strand, ends);
  if (!reading.direction)
    rows_.refuse(from_ != nullptr ? *from_ : *to_, row, "ends that the schedule gives for this strand",
                 "name end_a and end_b in the schedule, or write the direction as AB or BA");
}

}  // namespace strandbook
