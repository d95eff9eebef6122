#pragma once
// What is tested: fibre, ends, directions, and how the test was referenced. Closed choices of the trade.

#include <optional>
#include <string>
#include <string_view>

#include "domain/units/units.hpp"

namespace strandbook {

enum class FibreMode { multimode, single_mode };

/// Cabled-fibre categories of ISO/IEC 11801-1 and TIA-568.3; "unstated" where a schedule says only the mode.
enum class FibreCategory {
  om1,
  om2,
  om3,
  om4,
  om5,
  os1,
  os1a,
  os2,
  multimode_unstated,
  single_mode_unstated
};

/// Where a single-mode cable is laid: the key of TIA-568.3 attenuation limits.
enum class Plant { unstated, inside, indoor_outdoor, outside };

/// Meaning of the reference, never a document's letter: how many test cords it was read through.
enum class ReferenceMethod { one_cord, two_cord, three_cord };

/// Grade of the test cords' plugs.
enum class CordGrade { reference_grade, standard_grade };

/// What lies between the test cords. A link ends in adapters, so its end connections are in a one-cord
/// reading. A channel ends in plugs of its own equipment cords.
enum class Configuration { link, channel };

enum class Direction { a_to_b, b_to_a };

/// What a rule demands per strand and wavelength.
enum class DirectionDemand { either, both };

constexpr FibreMode mode_of(FibreCategory category) {
  switch (category) {
    case FibreCategory::om1:
    case FibreCategory::om2:
    case FibreCategory::om3:
    case FibreCategory::om4:
    case FibreCategory::om5:
    case FibreCategory::multimode_unstated:
      return FibreMode::multimode;
    case FibreCategory::os1:
    case FibreCategory::os1a:
    case FibreCategory::os2:
    case FibreCategory::single_mode_unstated:
      return FibreMode::single_mode;
  }
  return FibreMode::single_mode;
}

constexpr Direction opposite(Direction d) {
  return d == Direction::a_to_b ? Direction::b_to_a : Direction::a_to_b;
}

// Stable texts of files and JSON: "OM3", "outside", "one-cord", "reference", "link", "AB", "either".
std::string_view text_of(FibreMode mode);  // "multimode", "single-mode"
std::string_view text_of(FibreCategory category);
std::string_view text_of(Plant plant);
std::string_view text_of(ReferenceMethod method);
std::string_view text_of(CordGrade grade);
std::string_view text_of(Configuration configuration);
std::string_view text_of(Direction direction);
std::string_view text_of(DirectionDemand demand);

/// Letters and digits only, in lower case: "One-cord", "one cord" and "ONE_CORD" are one word.
std::string bare_word(std::string_view text);

// Reading of the same words and their common spellings, case and blanks aside. Nothing where unknown.
std::optional<FibreCategory> parse_fibre_category(std::string_view text);
std::optional<Plant> parse_plant(std::string_view text);
std::optional<ReferenceMethod> parse_reference_method(std::string_view text);
std::optional<CordGrade> parse_cord_grade(std::string_view text);
std::optional<Configuration> parse_configuration(std::string_view text);
std::optional<Direction> parse_direction(std::string_view text);
std::optional<DirectionDemand> parse_direction_demand(std::string_view text);

}  // namespace strandbook
