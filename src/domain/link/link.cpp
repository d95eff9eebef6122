#include "domain/link/link.hpp"

#include <array>
#include <string>
#include <utility>

namespace strandbook {
namespace {

template <class T, std::size_t N>
std::optional<T> look_up(const std::array<std::pair<std::string_view, T>, N>& words, std::string_view text) {
  const std::string word = bare_word(text);
  for (const auto& [name, value] : words)
    if (name == word) return value;
  return std::nullopt;
}

template <class T>
using Word = std::pair<std::string_view, T>;

constexpr auto categories = std::to_array<Word<FibreCategory>>({
    {"om1", FibreCategory::om1},
    {"om2", FibreCategory::om2},
    {"om3", FibreCategory::om3},
    {"om4", FibreCategory::om4},
    {"om5", FibreCategory::om5},
    {"os1", FibreCategory::os1},
    {"os1a", FibreCategory::os1a},
    {"os2", FibreCategory::os2},
    {"a1om1", FibreCategory::om1},  // IEC 60793-2-10:2019 names
    {"a1om2", FibreCategory::om2},
    {"a1om3", FibreCategory::om3},
    {"a1om4", FibreCategory::om4},
    {"a1om5", FibreCategory::om5},
    {"mm", FibreCategory::multimode_unstated},
    {"multimode", FibreCategory::multimode_unstated},
    {"sm", FibreCategory::single_mode_unstated},
    {"singlemode", FibreCategory::single_mode_unstated},
    {"monomode", FibreCategory::single_mode_unstated},
    {"9125", FibreCategory::single_mode_unstated},
});

constexpr auto plants = std::to_array<Word<Plant>>({
    {"", Plant::unstated},
    {"unstated", Plant::unstated},
    {"inside", Plant::inside},
    {"insideplant", Plant::inside},
    {"indoor", Plant::inside},
    {"isp", Plant::inside},
    {"indooroutdoor", Plant::indoor_outdoor},
    {"outside", Plant::outside},
    {"outsideplant", Plant::outside},
    {"outdoor", Plant::outside},
    {"osp", Plant::outside},
});

// Only meanings, never a document's letter: "Method B" is one-cord in one text and another thing in the next.
constexpr auto methods = std::to_array<Word<ReferenceMethod>>({
    {"onecord", ReferenceMethod::one_cord},
    {"1cord", ReferenceMethod::one_cord},
    {"onetestcord", ReferenceMethod::one_cord},
    {"onejumper", ReferenceMethod::one_cord},
    {"1jumper", ReferenceMethod::one_cord},
    {"twocord", ReferenceMethod::two_cord},
    {"2cord", ReferenceMethod::two_cord},
    {"twotestcord", ReferenceMethod::two_cord},
    {"twojumper", ReferenceMethod::two_cord},
    {"2jumper", ReferenceMethod::two_cord},
    {"threecord", ReferenceMethod::three_cord},
    {"3cord", ReferenceMethod::three_cord},
    {"threetestcord", ReferenceMethod::three_cord},
    {"enhancedthreetestcord", ReferenceMethod::three_cord},
    {"threejumper", ReferenceMethod::three_cord},
    {"3jumper", ReferenceMethod::three_cord},
});

constexpr auto grades = std::to_array<Word<CordGrade>>({
    {"reference", CordGrade::reference_grade},
    {"referencegrade", CordGrade::reference_grade},
    {"ref", CordGrade::reference_grade},
    {"standard", CordGrade::standard_grade},
    {"standardgrade", CordGrade::standard_grade},
    {"std", CordGrade::standard_grade},
});

constexpr auto configurations = std::to_array<Word<Configuration>>({
    {"link", Configuration::link},
    {"permanentlink", Configuration::link},
    {"channel", Configuration::channel},
});

constexpr auto directions = std::to_array<Word<Direction>>({
    {"ab", Direction::a_to_b},
    {"atob", Direction::a_to_b},
    {"ba", Direction::b_to_a},
    {"btoa", Direction::b_to_a},
});

constexpr auto demands = std::to_array<Word<DirectionDemand>>({
    {"either", DirectionDemand::either},
    {"one", DirectionDemand::either},
    {"1", DirectionDemand::either},
    {"both", DirectionDemand::both},
    {"two", DirectionDemand::both},
    {"2", DirectionDemand::both},
    {"bidirectional", DirectionDemand::both},
    {"abba", DirectionDemand::both},
});

}  // namespace

std::string bare_word(std::string_view text) {
  std::string word;
  for (const char c : text) {
    if (c >= 'A' && c <= 'Z') word += static_cast<char>(c - 'A' + 'a');
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) word += c;
  }
  return word;
}

std::string_view text_of(FibreMode mode) {
  return mode == FibreMode::multimode ? "multimode" : "single-mode";
}

std::string_view text_of(FibreCategory category) {
  switch (category) {
    case FibreCategory::om1:
      return "OM1";
    case FibreCategory::om2:
      return "OM2";
    case FibreCategory::om3:
      return "OM3";
    case FibreCategory::om4:
      return "OM4";
    case FibreCategory::om5:
      return "OM5";
    case FibreCategory::os1:
      return "OS1";
    case FibreCategory::os1a:
      return "OS1a";
    case FibreCategory::os2:
      return "OS2";
    case FibreCategory::multimode_unstated:
      return "multimode";
    case FibreCategory::single_mode_unstated:
      return "single-mode";
  }
  return {};
}

std::string_view text_of(Plant plant) {
  switch (plant) {
    case Plant::unstated:
      return "";
    case Plant::inside:
      return "inside";
    case Plant::indoor_outdoor:
      return "indoor-outdoor";
    case Plant::outside:
      return "outside";
  }
  return {};
}

std::string_view text_of(ReferenceMethod method) {
  switch (method) {
    case ReferenceMethod::one_cord:
      return "one-cord";
    case ReferenceMethod::two_cord:
      return "two-cord";
    case ReferenceMethod::three_cord:
      return "three-cord";
  }
  return {};
}

std::string_view text_of(CordGrade grade) {
  return grade == CordGrade::reference_grade ? "reference" : "standard";
}

std::string_view text_of(Configuration configuration) {
  return configuration == Configuration::link ? "link" : "channel";
}

std::string_view text_of(Direction direction) { return direction == Direction::a_to_b ? "AB" : "BA"; }

std::string_view text_of(DirectionDemand demand) {
  return demand == DirectionDemand::either ? "either" : "both";
}

std::optional<FibreCategory> parse_fibre_category(std::string_view text) { return look_up(categories, text); }
std::optional<Plant> parse_plant(std::string_view text) { return look_up(plants, text); }
std::optional<ReferenceMethod> parse_reference_method(std::string_view text) {
  return look_up(methods, text);
}
std::optional<CordGrade> parse_cord_grade(std::string_view text) { return look_up(grades, text); }
std::optional<Configuration> parse_configuration(std::string_view text) {
  return look_up(configurations, text);
}
std::optional<Direction> parse_direction(std::string_view text) { return look_up(directions, text); }
std::optional<DirectionDemand> parse_direction_demand(std::string_view text) {
  return look_up(demands, text);
}

}  // namespace strandbook
