#pragma once
// Steps of reading tables of a rule or profile file: a list of rows, and closed choices of a row.

#include <fmt/format.h>

#include "domain/rulebook/sourced.hpp"
#include "edge/exchange/rule_reader.hpp"

namespace strandbook {

/// The rows of a table; `read_row` reads one object and yields what it stands for. No table, no rows.
template <class Row, class ReadRow>
std::vector<Row> read_table(const JsonNode* node, RuleDesk& desk, ReadRow read_row) {
  std::vector<Row> rows;
  if (node == nullptr) return rows;
  if (node->kind != JsonKind::list)
    desk.tell(node->line, fmt::format("\"{}\": {}", node->key, words_of(*node)), "a list [ ... ] of rows");
  for (const JsonNode& item : node->items) {
    if (node->kind != JsonKind::list) break;
    ObjectReader object(item, desk);
    for (Row& row : read_row(object)) rows.push_back(std::move(row));
    object.finish();
  }
  return rows;
}

template <class T, std::size_t N>
std::optional<T> maybe_choice(ObjectReader& object, std::string_view key, const std::array<T, N>& choices) {
  const JsonNode* node = object.maybe(key);
  return node == nullptr ? std::nullopt : read_choice(*node, choices, object.desk());
}

template <class T, std::size_t N>
std::optional<T> wanted_choice(ObjectReader& object, std::string_view key, const std::array<T, N>& choices) {
  const JsonNode* node = object.wanted(key);
  return node == nullptr ? std::nullopt : read_choice(*node, choices, object.desk());
}

/// A number with its source, as a unit of the domain.
template <class Unit>
Sourced<Unit> wanted_sourced(ObjectReader& object, std::string_view key, const NumberKind& kind) {
  SourcedNumber number = read_number(object.wanted(key), kind, object.desk());
  return {Unit{number.value}, std::move(number.source)};
}

/// The same; nothing where the member is not there.
template <class Unit>
std::optional<Sourced<Unit>> maybe_sourced(ObjectReader& object, std::string_view key,
                                           const NumberKind& kind) {
  const JsonNode* node = object.maybe(key);
  if (node == nullptr) return std::nullopt;
  SourcedNumber number = read_number(node, kind, object.desk());
  return Sourced<Unit>{Unit{number.value}, std::move(number.source)};
}

inline constexpr std::array fibre_categories = {FibreCategory::om1,
                                                FibreCategory::om2,
                                                FibreCategory::om3,
                                                FibreCategory::om4,
                                                FibreCategory::om5,
                                                FibreCategory::os1,
                                                FibreCategory::os1a,
                                                FibreCategory::os2,
                                                FibreCategory::multimode_unstated,
                                                FibreCategory::single_mode_unstated};
inline constexpr std::array fibre_modes = {FibreMode::multimode, FibreMode::single_mode};
inline constexpr std::array direction_demands = {DirectionDemand::either, DirectionDemand::both};
inline constexpr std::array reference_methods = {ReferenceMethod::one_cord, ReferenceMethod::two_cord,
                                                 ReferenceMethod::three_cord};

}  // namespace strandbook
