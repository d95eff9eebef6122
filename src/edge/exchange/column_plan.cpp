#include "edge/exchange/column_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/column_content.hpp"

namespace strandbook {
namespace {

/// "event_m", "Position (m)": where along the fibre a loss stands, so it is no end-to-end loss.
bool names_event_place(std::string_view heading) {
  const std::string key = bare_key(heading);
  const Unit unit = meaning_of_heading(heading).unit;
  const bool length = unit == Unit::m || unit == Unit::km || unit == Unit::ft;
  return length && (key.starts_with("event") || key.starts_with("position") || key.starts_with("splice"));
}

bool is_value(Field field) { return field == Field::power || field == Field::loss; }

class ColumnPlanner {
 public:
  ColumnPlanner(const Grid& grid, TableKind table, const std::vector<ColumnChoice>& choices)
      : grid_(grid), table_(table), choices_(choices) {
    plan.rows = find_headings(grid, chosen_keys());
    read_headings();
    apply_choices();
    settle_partial_headings();
    settle_by_content();
    settle_names();
    for (PlannedColumn& column : columns_) assign(column);
    order_values();
    apply_titles();
    apply_constants();
    note_unused();
  }
  ColumnPlan plan;

 private:
  std::vector<std::string> chosen_keys() const {
    std::vector<std::string> keys;
    for (const ColumnChoice& choice : choices_)
      if (!choice.constant) keys.push_back(bare_key(choice.text));
    return keys;
  }

  void read_headings() {
    for (std::size_t i = 0; i < plan.rows.headings.size(); ++i) {
      const std::string& heading = plan.rows.headings[i];
      if (heading.empty()) continue;
      HeadingMeaning meaning = meaning_of_heading(heading);
      meaning.field = field_in_table(meaning);
      plan.holds_events = plan.holds_events || names_event_place(heading);
      columns_.push_back({i, heading, meaning, {}});
    }
  }

  /// The same words mean different things in different tables.
  Field field_in_table(const HeadingMeaning& meaning) const {
    const bool schedule = table_ == TableKind::schedule;
    if (schedule && meaning.field == Field::from) return Field::end_a;
    if (schedule && meaning.field == Field::to) return Field::end_b;
    if (table_ == TableKind::continuity && meaning.field == Field::end_a) return Field::from;
    if (table_ == TableKind::continuity && meaning.field == Field::end_b) return Field::to;
    if (table_ == TableKind::calibrations) return field_of_calibrations(meaning.field);
    if (meaning.field == Field::reference && meaning.unit != Unit::none)
      return table_ == TableKind::references ? Field::power : Field::not_used;
    return meaning.field;
  }

  static Field field_of_calibrations(Field field) {
    switch (field) {
      case Field::meter:
      case Field::source:
      case Field::identifier:
        return Field::instrument;
      case Field::date:
        return Field::calibrated_on;
      default:
        return field;
    }
  }

  std::vector<std::size_t> columns_named(const std::string& text) const {
    const std::string key = bare_key(text);
    std::vector<std::size_t> whole;
    std::vector<std::size_t> part;
    const bool several_rows = plan.rows.first_data > plan.rows.first + 1;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      const std::string heading = bare_key(columns_[i].heading);
      if (heading == key && !key.empty()) whole.push_back(i);
      if (columns_[i].heading == text && key.empty()) whole.push_back(i);
      if (several_rows && !key.empty() && (heading.ends_with(key) || heading.starts_with(key)))
        part.push_back(i);
    }
    return whole.empty() ? part : whole;
  }

  void apply_choices() {
    for (std::size_t c = 0; c < choices_.size(); ++c) {
      const ColumnChoice& choice = choices_[c];
      if (choice.constant) continue;
      const std::vector<std::size_t> named = columns_named(choice.text);
      if (!named.empty()) plan.matched_choices.push_back(c);
      for (const std::size_t i : named) {
        chosen_.push_back(columns_[i].index);
        HeadingMeaning& meaning = columns_[i].meaning;
        const bool own_unit = meaning.unit != Unit::none && meaning.field == choice.field.field;
        meaning.field = choice.field.field;
        if (!own_unit && !fits(meaning.unit, choice.field.unit)) meaning.unit = choice.field.unit;
      }
    }
    // the person's column comes before another one of the same field
    std::stable_sort(columns_.begin(), columns_.end(),
                     [this](const PlannedColumn& a, const PlannedColumn& b) {
                       return is_chosen(a.index) > is_chosen(b.index);
                     });
  }

  /// Both are lengths, wavelengths or powers, so the heading's own unit may stand.
  static bool fits(Unit own, Unit wanted) {
    const auto sort = [](Unit u) {
      switch (u) {
        case Unit::m:
        case Unit::km:
        case Unit::ft:
          return 1;
        case Unit::nm:
        case Unit::um:
          return 2;
        case Unit::dbm:
        case Unit::mw:
        case Unit::uw:
        case Unit::nw:
          return 3;
        case Unit::db:
          return 4;
        case Unit::none:
        case Unit::db_per_km:
        case Unit::percent:
          return 0;
      }
      return 0;
    };
    return sort(own) != 0 && sort(own) == sort(wanted);
  }

  bool is_chosen(std::size_t index) const {
    return std::find(chosen_.begin(), chosen_.end(), index) != chosen_.end();
  }

  /// "850 nm" over a column says not of what; a title such as "Insertion loss in dB" may.
  void settle_partial_headings() {
    Field told = Field::unknown;
    for (std::size_t row = 0; row < plan.rows.first; ++row)
      for (const std::string& cell : cells_of(grid_, row)) {
        const Field field = meaning_of_heading(cell).field;
        if (is_value(field) && told == Field::unknown) told = field;
      }
    for (PlannedColumn& column : columns_) {
      if (!is_partial(column.meaning)) continue;
      column.meaning.field = told;
      if (told != Field::unknown)
        plan.notes.push_back(fmt::format("column \"{}\" is taken as {} after the title", column.heading,
                                         told == Field::loss ? "loss" : "power"));
    }
  }

  bool has(Field field) const {
    return std::any_of(columns_.begin(), columns_.end(),
                       [&](const auto& c) { return c.meaning.field == field; });
  }

  void settle_by_content() {
    for (PlannedColumn& column : columns_)
      if (!is_chosen(column.index)) column.meaning.field = field_after_content(column);
  }

  Field field_after_content(const PlannedColumn& column) const {
    const std::size_t row = plan.rows.first_data;
    const Field field = column.meaning.field;
    if (field == Field::kind && table_ == TableKind::calibrations) return field;
    if (field == Field::kind) return holds_row_kinds(grid_, row, column.index) ? field : Field::unknown;
    if (field == Field::strand_count && !holds_counts(grid_, row, column.index)) return Field::identifier;
    if (field == Field::strand_count && table_ != TableKind::schedule) return Field::unknown;
    const std::string key = bare_key(column.heading);
    const bool names_either = field == Field::fibre && (key == "fibre" || key == "fiber" || key == "fibra");
    if (names_either && !has(Field::strand) && !holds_categories(grid_, row, column.index))
      return Field::strand;
    return field;
  }

  PlannedColumn* best_identifier() {
    PlannedColumn* best = nullptr;
    for (PlannedColumn& column : columns_)
      if (column.meaning.field == Field::identifier && (!best || column.meaning.rank < best->meaning.rank))
        best = &column;
    return best;
  }

  void name_by_identifier(PlannedColumn& column, Field field) {
    column.meaning.field = field;
    plan.notes.push_back(fmt::format("column \"{}\" is taken as the {}", column.heading,
                                     field == Field::reference ? "reference's name"
                                     : field == Field::link    ? "link"
                                                               : "strand"));
  }

  /// "id", "label", "port" name the strand where nothing better does.
  void settle_names() {
    PlannedColumn* best = best_identifier();
    if (!best) return;
    if (table_ == TableKind::references) {
      if (!has(Field::reference)) name_by_identifier(*best, Field::reference);
      return;
    }
    if (has(Field::strand)) return;
    if (has(Field::strand_count)) {
      if (!has(Field::link)) name_by_identifier(*best, Field::link);
      return;
    }
    constexpr std::uint8_t row_counter = 7;
    if (has(Field::link) && best->meaning.rank == row_counter) return;
    const bool lane = best->meaning.rank == 1;
    name_by_identifier(*best, Field::strand);
    PlannedColumn* second = best_identifier();
    if (lane && second && !has(Field::link)) name_by_identifier(*second, Field::link);
  }

  void assign(const PlannedColumn& column) {
    const Field field = column.meaning.field;
    const bool holds_values = table_ == TableKind::references || table_ == TableKind::readings;
    if (is_value(field) && holds_values) return assign_value(column);
    if (is_value(field)) plan.holds_readings = true;
    if (field == Field::not_used || field == Field::unknown || field == Field::identifier) {
      unused_.push_back(column.heading);
      return;
    }
    if (!belongs_to(field, table_)) return;
    if (field == Field::launch_power) return assign_launch(column);
    if (const PlannedColumn* first = plan.find(field); first != nullptr) {
      plan.notes.push_back(
          fmt::format("column \"{}\" is not used: \"{}\" already gives it", column.heading, first->heading));
      return;
    }
    plan.columns.push_back(column);
  }

  /// Only looked at to tell a lane that is not in use; a level serves better than mW.
  void assign_launch(const PlannedColumn& column) {
    const auto known = std::find_if(plan.columns.begin(), plan.columns.end(),
                                    [](const auto& c) { return c.meaning.field == Field::launch_power; });
    if (known == plan.columns.end()) {
      plan.columns.push_back(column);
    } else if (known->meaning.unit == Unit::mw) {
      *known = column;
    }
  }

  void assign_value(const PlannedColumn& column) {
    if (table_ == TableKind::references && column.meaning.field == Field::loss) return;
    const auto group = std::find_if(plan.values.begin(), plan.values.end(), [&](const ValueGroup& g) {
      return g.wavelength_nm == column.meaning.wavelength_nm && g.direction == column.meaning.direction;
    });
    if (group == plan.values.end()) {
      plan.values.push_back({column.meaning.wavelength_nm, column.meaning.direction, {column}});
      return;
    }
    const auto same = std::find_if(group->columns.begin(), group->columns.end(), [&](const PlannedColumn& c) {
      return c.meaning.field == column.meaning.field && c.meaning.unit == column.meaning.unit;
    });
    if (same != group->columns.end()) {
      plan.notes.push_back(
          fmt::format("column \"{}\" is not used: \"{}\" already gives it", column.heading, same->heading));
      return;
    }
    group->columns.push_back(column);
  }

  /// Level before mW. Loss before level, unless the file ties its levels to references.
  void order_values() {
    const bool levels_first = plan.find(Field::reference) != nullptr || plan.find(Field::kind) != nullptr;
    const auto place = [&](const PlannedColumn& c) {
      if (c.meaning.field == Field::loss) return levels_first ? 3 : 0;
      return c.meaning.unit == Unit::dbm || c.meaning.unit == Unit::none ? 1 : 2;
    };
    for (ValueGroup& group : plan.values) {
      std::stable_sort(group.columns.begin(), group.columns.end(),
                       [&](const auto& a, const auto& b) { return place(a) < place(b); });
      for (std::size_t i = 1; i < group.columns.size(); ++i)
        plan.notes.push_back(fmt::format("column \"{}\" is used only where \"{}\" is blank",
                                         group.columns[i].heading, group.columns[0].heading));
    }
  }

  static bool fact_of_a_table(Field field) {
    static constexpr auto facts = std::to_array<Field>(
        {Field::link, Field::building, Field::wavelength, Field::direction, Field::source, Field::meter,
         Field::cords, Field::operator_name, Field::method, Field::date, Field::fibre, Field::reference});
    return std::find(facts.begin(), facts.end(), field) != facts.end();
  }

  void apply_titles() {
    for (const TitleFact& fact : title_facts(grid_, plan.rows)) {
      const Field field = meaning_of_heading(fact.label).field;
      if (field == Field::cable) {
        plan.title_cable = fact.value;
        plan.notes.push_back(fmt::format("cable {} is taken from the title in row {}: please confirm",
                                         fact.value, fact.row + 1));
      }
      const bool wide =
          field == Field::wavelength && !plan.values.empty() && plan.values.front().wavelength_nm != 0;
      if (!fact_of_a_table(field) || !belongs_to(field, table_) || plan.find(field) || wide) continue;
      add_constant(field, fact.label, fact.value);
      plan.notes.push_back(fmt::format("{} {} is taken from the title in row {}: please confirm", fact.label,
                                       fact.value, fact.row + 1));
    }
  }

  void add_constant(Field field, const std::string& label, const std::string& value) {
    PlannedColumn column{no_column, label, meaning_of_heading(label), value};
    column.meaning.field = field;
    plan.columns.push_back(column);
  }

  void apply_constants() {
    for (const ColumnChoice& choice : choices_) {
      if (!choice.constant) continue;
      const auto known = std::find_if(plan.columns.begin(), plan.columns.end(),
                                      [&](const auto& c) { return c.meaning.field == choice.field.field; });
      if (known == plan.columns.end()) {
        add_constant(choice.field.field, std::string(choice.field.name), choice.text);
      } else {
        known->constant = choice.text;
      }
    }
  }

  void note_unused() {
    if (unused_.empty()) return;
    std::string names;
    for (const std::string& heading : unused_) names += (names.empty() ? "" : ", ") + heading;
    plan.notes.push_back("columns not used: " + names);
  }

  const Grid& grid_;
  TableKind table_;
  const std::vector<ColumnChoice>& choices_;
  std::vector<PlannedColumn> columns_;
  std::vector<std::size_t> chosen_;
  std::vector<std::string> unused_;
};

}  // namespace

const PlannedColumn* ColumnPlan::find(Field field) const {
  const auto at =
      std::find_if(columns.begin(), columns.end(), [&](const auto& c) { return c.meaning.field == field; });
  return at == columns.end() ? nullptr : &*at;
}

ColumnPlan plan_columns(const Grid& grid, TableKind table, const std::vector<ColumnChoice>& choices) {
  return std::move(ColumnPlanner(grid, table, choices).plan);
}

}  // namespace strandbook
