#include "edge/exchange/application_row.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr std::array families = {ApplicationFamily::ethernet, ApplicationFamily::fibre_channel,
                                 ApplicationFamily::passive_optical, ApplicationFamily::telecom,
                                 ApplicationFamily::legacy};
constexpr std::array uses = {WavelengthUse::one, WavelengthUse::multiplexed, WavelengthUse::per_direction};

constexpr NumberKind loss_number = allowance_number;
constexpr NumberKind window_level_number{"dBm", -60, 30};
constexpr NumberKind channel_return_loss_number{"dB", 0, 90};
constexpr NumberKind reflectance_number{"dB", -90, 0};
constexpr NumberKind skew_number{"ns", 0, 1000};
constexpr NumberKind lane_number{"lanes", 1, 64};
constexpr NumberKind strand_number{"strands", 1, 128};

/// Reads the numbers of one row: what a number does not say of its source, its row says.
class RowNumbers {
 public:
  RowNumbers(const RuleRef& row, RuleDesk& desk) : row_(row), desk_(desk) {}

  template <class Unit>
  std::optional<Sourced<Unit>> maybe(ObjectReader& object, std::string_view key, const NumberKind& kind) {
    const JsonNode* node = object.maybe(key);
    if (node == nullptr) return std::nullopt;
    ObjectReader number(*node, desk_);
    const double value = plain_number(number.wanted("value"), kind, desk_);
    tell_unit(number, kind.unit);
    Sourced<Unit> sourced{Unit{value}, source_of(number)};
    number.finish();
    return sourced;
  }

 private:
  RuleRef source_of(ObjectReader& number) {
    RuleRef source = row_;
    source.standing = read_standing(number);
    if (read_document(number, source)) source.clause.clear();
    if (number.maybe("clause") != nullptr) source.clause = number.maybe_text("clause");
    source.note = note_of(source.standing, number);
    return source;
  }

  // What the row was read in is no source of a number that was recalled.
  std::string note_of(Standing standing, ObjectReader& number) {
    std::string own = number.maybe_text("note");
    if (standing != Standing::seen_in_extract) return own;
    if (own.empty() && row_.note.empty())
      desk_.tell(number.line(), "a number seen in an extract that is not named",
                 "\"seen_in\" in the row, or \"note\" beside the number");
    return row_.note + (own.empty() || row_.note.empty() ? "" : "; ") + own;
  }

  const RuleRef& row_;
  RuleDesk& desk_;
};

std::string text_or(ObjectReader& object, std::string_view key, const std::string& otherwise) {
  const std::string text = object.maybe_text(key);
  return text.empty() ? otherwise : text;
}

RuleRef read_row_source(ObjectReader& object) {
  RuleDesk& desk = object.desk();
  RuleRef source{desk.document, desk.edition, object.text("clause"), read_standing(object),
                 object.maybe_text("seen_in")};
  read_document(object, source);
  return source;
}

void read_identity(ObjectReader& object, const ApplicationHead& head, Application& row) {
  RuleDesk& desk = object.desk();
  row.name = object.text_with_words("name");
  row.table = text_or(object, "table", head.table);
  row.family = head.family;
  if (const JsonNode* family = object.maybe("family"))
    row.family = read_family(*family, desk).value_or(head.family);
  row.fibre = object.text_with_words("fibre");
  row.categories = read_choices(object.maybe("categories"), fibre_categories, desk);
  row.source = read_row_source(object);
  row.notes = maybe_texts(object.maybe("notes"), desk);
}

void read_light(ObjectReader& object, Application& row) {
  RuleDesk& desk = object.desk();
  for (const double nm : plain_numbers(object.wanted("wavelength_nm"), wavelength_number, desk))
    row.wavelengths.push_back({nm});
  if (const JsonNode* use = object.maybe("use"))
    row.use = read_choice(*use, uses, desk).value_or(WavelengthUse::one);
  row.lanes = whole_number(object.wanted("lanes"), lane_number, object.desk());
  row.strands = whole_number(object.wanted("strands"), strand_number, object.desk());
  row.connector = object.text_with_words("connector");
  row.needs = object.maybe_text("needs");
  if (const JsonNode* power = object.maybe("average_power")) {
    row.average_only_rejects = power->text == "rejects only";
    if (!row.average_only_rejects)
      desk.tell(power->line, "\"average_power\": " + words_of(*power), "\"rejects only\", or nothing");
  }
}

void read_channel(ObjectReader& object, RowNumbers& numbers, Application& row) {
  const auto loss = [&](std::string_view key) { return numbers.maybe<Decibels>(object, key, loss_number); };
  row.cable_class = numbers.maybe<DecibelsPerKilometre>(object, "cable_class", attenuation_number);
  row.max_length = numbers.maybe<Metres>(object, "max_length", length_number);
  row.max_loss = loss("max_loss");
  row.min_loss = loss("min_loss");
  row.connection_allocation = loss("connection_allocation");
  row.additional_loss_allowed = loss("additional_loss_allowed");
  row.power_budget = loss("power_budget");
  row.penalties = loss("penalties");
  row.upstream_max_loss = loss("upstream_max_loss");
  row.upstream_power_budget = loss("upstream_power_budget");
  row.channel_return_loss_min =
      numbers.maybe<Decibels>(object, "channel_return_loss_min", channel_return_loss_number);
  row.discrete_reflectance_max =
      numbers.maybe<Decibels>(object, "discrete_reflectance_max", reflectance_number);
  row.skew_max_ns = numbers.maybe<double>(object, "skew_max", skew_number);
  row.skew_variation_max_ns = numbers.maybe<double>(object, "skew_variation_max", skew_number);
}

/// Tells where a lower bound is above its upper one.
template <class Bound>
void check_order(const Bound& low, const Bound& high, std::string_view what, std::size_t line,
                 RuleDesk& desk) {
  if (low && high && high->value < low->value)
    desk.tell(line, fmt::format("{}: {} above {}", what, low->value.value, high->value.value),
              "the lower number first", "Are they in each other's place, or is a minus sign missing?");
}

PowerWindow read_window(const JsonNode* node, RowNumbers& numbers, RuleDesk& desk) {
  PowerWindow window;
  if (node == nullptr) return window;
  ObjectReader object(*node, desk);
  const auto level = [&](std::string_view key) {
    return numbers.maybe<PowerDbm>(object, key, window_level_number);
  };
  window.launch_min = level("launch_min");
  window.launch_max = level("launch_max");
  window.receive_min = level("receive_min");
  window.receive_max = level("receive_max");
  window.damage = level("damage");
  object.finish();
  check_order(window.launch_min, window.launch_max, "launch_min and launch_max", node->line, desk);
  check_order(window.receive_min, window.receive_max, "receive_min and receive_max", node->line, desk);
  check_order(window.receive_max, window.damage, "receive_max and damage", node->line, desk);
  return window;
}

void check_wavelengths(const Application& row, std::size_t line, RuleDesk& desk) {
  const int count = static_cast<int>(row.wavelengths.size());
  const auto wrong = [&](std::string wanted) {
    desk.tell(line,
              fmt::format("{} wavelengths, {} lanes and {} strands for use \"{}\"", count, row.lanes,
                          row.strands, text_of(row.use)),
              std::move(wanted));
  };
  switch (row.use) {
    case WavelengthUse::one:
      if (count != 1 || row.strands != 2 * row.lanes) wrong("one wavelength, and two strands for each lane");
      return;
    case WavelengthUse::multiplexed:
      if (count < 2 || row.lanes % count != 0 || row.strands != 2 * row.lanes / count)
        wrong("a wavelength for each lane of a strand, and a strand in each direction");
      return;
    case WavelengthUse::per_direction:
      if (count != 2 || row.strands > 2 * row.lanes)
        wrong("two wavelengths, and no more than two strands for each lane");
      return;
  }
}

void check_fibres(const Application& row, std::size_t line, RuleDesk& desk) {
  const auto multimode = [](FibreCategory fibre) { return mode_of(fibre) == FibreMode::multimode; };
  const auto begin = row.categories.begin();
  const auto end = row.categories.end();
  if (std::any_of(begin, end, multimode) && !std::all_of(begin, end, multimode))
    desk.tell(line, "multimode and single-mode categories in one row", "a row for each mode");
}

void check_row(const Application& row, std::size_t line, bool upstream, RuleDesk& desk) {
  check_wavelengths(row, line, desk);
  check_fibres(row, line, desk);
  if (row.min_loss && row.max_loss && row.max_loss->value <= row.min_loss->value)
    desk.tell(
        line,
        fmt::format("min_loss {} and max_loss {} dB", row.min_loss->value.value, row.max_loss->value.value),
        "a smallest loss below the greatest");
  if ((upstream || row.upstream_max_loss || row.upstream_power_budget) &&
      row.use != WavelengthUse::per_direction)
    desk.tell(line, fmt::format("upstream numbers with use \"{}\"", text_of(row.use)),
              fmt::format("the use \"{}\"", text_of(WavelengthUse::per_direction)));
}

}  // namespace

std::optional<ApplicationFamily> read_family(const JsonNode& node, RuleDesk& desk) {
  return read_choice(node, families, desk);
}

Application read_application_row(const JsonNode& node, const ApplicationHead& head, RuleDesk& desk) {
  ObjectReader object(node, desk);
  Application row;
  read_identity(object, head, row);
  read_light(object, row);
  RowNumbers numbers(row.source, desk);
  read_channel(object, numbers, row);
  row.window = read_window(object.maybe("window"), numbers, desk);
  const JsonNode* upstream = object.maybe("upstream");
  row.upstream = read_window(upstream, numbers, desk);
  object.finish();
  check_row(row, node.line, upstream != nullptr, desk);
  return row;
}

std::string identity_of(const Application& row) {
  std::string text = fmt::format("{} over {} of {}", row.name, row.fibre, row.table);
  if (row.cable_class) text += fmt::format(" with cable of {} dB/km", row.cable_class->value.value);
  return text;
}

}  // namespace strandbook
