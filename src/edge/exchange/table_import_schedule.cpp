#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <unordered_map>

#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/column_content.hpp"
#include "edge/exchange/large_pages.hpp"
#include "edge/exchange/sheet_rows.hpp"
#include "edge/exchange/table_import.hpp"

namespace strandbook {
namespace {

/// Everything of a strand but its wavelengths and place.
std::string sameness(const ScheduledStrand& s) {
  const auto number = [](const auto& n) { return n ? fmt::format("{}", *n) : std::string(); };
  const auto choice = [](const auto& c) {
    return c ? fmt::format("{}", static_cast<int>(*c)) : std::string();
  };
  return fmt::format(
      "{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}\x1f{}",
      s.cable, s.link, s.strand, s.end_a, s.end_b, s.building, choice(s.fibre), static_cast<int>(s.plant),
      s.length ? fmt::format("{}", s.length->value) : "", number(s.connections), number(s.splices), s.rule,
      s.fixed_limit ? fmt::format("{}", s.fixed_limit->value) : "", choice(s.method), choice(s.cords),
      choice(s.configuration), choice(s.directions));
}

class ScheduleSheet {
 public:
  ScheduleSheet(const PlannedSheet& sheet, DateOrder order) : rows(sheet, order) {
    // No more than this for a start: blank rows by the million must not cost memory.
    strands.reserve(std::min<std::size_t>(rows.end() - rows.first(), 262144));
    prefer_large_pages(strands.data(), strands.capacity() * sizeof(ScheduledStrand));
    for (std::size_t row = rows.first(); row < rows.end(); ++row) read(row);
    if (merged_ > 0)
      note(fmt::format("{} rows name a strand again and add only wavelengths: one strand each", merged_));
    if (counted_ > 0)
      note(fmt::format("{} rows give a number of strands: one strand 1, 2, ... for each", counted_));
    rows.finish();
  }
  SheetRows rows;
  Schedule strands;

 private:
  const PlannedColumn* column(Field field) const { return rows.plan().find(field); }
  std::string text(Field field, std::size_t row) const { return std::string(rows.text(column(field), row)); }
  void note(std::string text) {
    rows.notes.push_back({rows.grid().file(), rows.grid().sheet(), std::move(text)});
  }

  void read(std::size_t row) {
    rows.begin_row();
    if (rows.is_passed_over(row)) return;
    ScheduledStrand strand = names(row);
    if (strand.link.empty() && strand.strand.empty() &&
        (strand.cable.empty() || column(Field::strand_count) == nullptr)) {
      rows.refuse_row(row, row_text(rows.grid(), row), "the name of a strand or link",
                      "name it, or delete the row");
      return;
    }
    read_numbers(strand, row);
    read_choices(strand, row);
    read_wavelengths(strand, row);
    if (column(Field::strand_count) != nullptr && column(Field::strand) == nullptr)
      return add_counted(strand, row);
    // The strand is there and must be tested, though what the cell meant is not known: it stays in the plan
    // without a limit, and so never passes.
    if (rows.row_is_bad) strand.doubt = describe(rows.unread.back());
    add(std::move(strand));
  }

  ScheduledStrand names(std::size_t row) {
    ScheduledStrand strand;
    strand.cable = text(Field::cable, row);
    if (strand.cable.empty()) strand.cable = rows.plan().title_cable;
    strand.link = text(Field::link, row);
    strand.strand = text(Field::strand, row);
    strand.end_a = text(Field::end_a, row);
    strand.end_b = text(Field::end_b, row);
    strand.building = text(Field::building, row);
    strand.rule = text(Field::rule, row);
    strand.at = rows.grid().place(row);
    return strand;
  }

  void read_numbers(ScheduledStrand& strand, std::size_t row) {
    strand.length = rows.length(column(Field::length), row);
    strand.connections = rows.count(column(Field::connections), row);
    strand.splices = rows.count(column(Field::splices), row);
    strand.fixed_limit = rows.decibels(column(Field::limit), row);
  }

  /// The parsed choice; a filled cell that is none of the choices makes the row bad.
  template <class Parse>
  auto choice(Field field, std::size_t row, Parse parse, std::string_view wanted)
      -> decltype(parse(std::string_view{})) {
    const PlannedColumn* at = column(field);
    const std::string_view cell = rows.text(at, row);
    if (says_nothing(cell)) return std::nullopt;
    auto parsed = parse(cell);
    if (!parsed) rows.refuse(*at, row, std::string(wanted), std::string(number_advice(cell)));
    return parsed;
  }

  void read_choices(ScheduledStrand& strand, std::size_t row) {
    strand.fibre = choice(Field::fibre, row, category_in,
                          "a fibre category: OM1 to OM5, OS1, OS1a, OS2, multimode or single-mode");
    strand.plant =
        choice(Field::plant, row, parse_plant, "inside, indoor-outdoor or outside").value_or(Plant::unstated);
    strand.method =
        choice(Field::method, row, parse_reference_method,
               "one-cord, two-cord or three-cord (a letter means different methods in different documents)");
    strand.cords = choice(Field::cord_grade, row, parse_cord_grade, "reference or standard");
    strand.configuration = choice(Field::configuration, row, configuration_in, "link or channel");
    const std::string_view demand = rows.text(column(Field::direction), row);
    if (direction_in(demand)) return;  // a readings file: which way a reading went, not what is demanded
    strand.directions = choice(Field::direction, row, parse_direction_demand, "either or both");
  }

  /// "link between panels", "channel with cross-connects": the first word that says it.
  static std::optional<Configuration> configuration_in(std::string_view cell) {
    if (const auto whole = parse_configuration(cell)) return whole;
    return parse_configuration(cell.substr(0, cell.find(' ')));
  }

  /// Where the first of "1310/1550", "850, 1300" or "1310 1550" ends; the blank of "850 nm" parts nothing.
  static std::size_t end_of_first(std::string_view list) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (std::string_view("/;,+&|").find(list[i]) != std::string_view::npos) return i;
      if (list[i] == ' ' && i + 1 < list.size() && is_digit(list[i + 1])) return i;
    }
    return std::string_view::npos;
  }

  void read_wavelengths(ScheduledStrand& strand, std::size_t row) {
    const PlannedColumn* at = column(Field::wavelength);
    if (at == nullptr || rows.plan().holds_readings) return;
    std::string_view rest = rows.text(at, row);
    while (!rest.empty()) {
      const std::size_t end = end_of_first(rest);
      const std::string_view part = trimmed(rest.substr(0, end));
      // "0,85" is one wavelength in micrometres with a decimal comma
      const bool whole = at->meaning.unit == Unit::um && rest.find('/') == std::string_view::npos;
      const auto nm =
          rows.value(read_wavelength(whole ? rest : part, at->meaning.unit, rows.numbers), *at, row);
      if (!nm && rows.row_is_bad) return;
      if (nm) strand.wavelengths.push_back(*nm);
      if (whole || end == std::string_view::npos) return;
      rest = trimmed(rest.substr(end + 1));
    }
  }

  void add_counted(ScheduledStrand& strand, std::size_t row) {
    const std::optional<int> count = rows.count(column(Field::strand_count), row);
    if (!count && !rows.row_is_bad)
      rows.refuse(*column(Field::strand_count), row, "the number of strands, 1 or more", "fill the cell");
    if (rows.row_is_bad) return;
    if (*count == 0)
      return rows.refuse(*column(Field::strand_count), row, "the number of strands, 1 or more",
                         "correct the cell");
    for (int i = 1; i <= *count; ++i) {
      ScheduledStrand each = strand;
      each.strand = std::to_string(i);
      strands.push_back(std::move(each));
    }
    ++counted_;
  }

  /// A strand that comes again with other wavelengths, or in a readings file, is the same strand.
  void add(ScheduledStrand strand) {
    const bool merges = rows.plan().holds_readings || !strand.wavelengths.empty();
    if (!merges) {
      strands.push_back(std::move(strand));
      return;
    }
    const auto [at, is_new] = seen_.try_emplace(sameness(strand), strands.size());
    if (is_new) {
      strands.push_back(std::move(strand));
      return;
    }
    if (strands[at->second].doubt.empty()) strands[at->second].doubt = strand.doubt;
    std::vector<Nanometres>& known = strands[at->second].wavelengths;
    bool adds = rows.plan().holds_readings;
    for (const Nanometres nm : strand.wavelengths)
      if (std::find(known.begin(), known.end(), nm) == known.end()) {
        known.push_back(nm);
        adds = true;
      }
    if (adds) {
      ++merged_;
    } else {
      strands.push_back(std::move(strand));  // the same row twice: the plan says so
    }
  }

  std::unordered_map<std::string, std::size_t> seen_;
  std::size_t merged_ = 0;
  std::size_t counted_ = 0;
};

}  // namespace

Result<ImportedSchedule> import_schedule(const std::vector<Grid>& sheets, const ImportChoices& choices) {
  auto planned = plan_sheets(sheets, TableKind::schedule, choices);
  if (!planned) return planned.problem();
  ImportedSchedule all;
  all.notes = std::move(planned->notes);
  for (const PlannedSheet& sheet : planned->sheets) {
    ScheduleSheet read(sheet, choices.date_order);
    if (all.strands.empty())
      all.strands = std::move(read.strands);
    else
      std::move(read.strands.begin(), read.strands.end(), std::back_inserter(all.strands));
    std::move(read.rows.unread.begin(), read.rows.unread.end(), std::back_inserter(all.unread));
    std::move(read.rows.notes.begin(), read.rows.notes.end(), std::back_inserter(all.notes));
  }
  return all;
}

}  // namespace strandbook
