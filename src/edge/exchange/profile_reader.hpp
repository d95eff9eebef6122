#pragma once
// Steps of reading an owner's profile: demands with their source.

#include <cmath>

#include "edge/exchange/row_reader.hpp"

namespace strandbook {

/// A count with its source, which must be whole.
inline std::optional<Sourced<int>> maybe_count(ObjectReader& object, std::string_view key,
                                               const NumberKind& kind) {
  const JsonNode* node = object.maybe(key);
  if (node == nullptr) return std::nullopt;
  const SourcedNumber number = read_number(node, kind, object.desk());
  if (std::floor(number.value) != number.value)
    object.desk().tell(node->line, fmt::format("\"{}\": {}", key, number.value), "a whole number");
  return Sourced<int>{static_cast<int>(number.value), number.source};
}

/// A choice beside its source in one object: {"KEY": ..., "clause": ..., "standing": ...}.
template <class T, std::size_t N>
std::optional<Sourced<T>> maybe_sourced_choice(ObjectReader& object, std::string_view member,
                                               std::string_view key, const std::array<T, N>& choices) {
  const JsonNode* node = object.maybe(member);
  if (node == nullptr) return std::nullopt;
  ObjectReader inner(*node, object.desk());
  const std::optional<T> choice = wanted_choice(inner, key, choices);
  Sourced<T> sourced{choice.value_or(T{}), read_source(inner)};
  inner.finish();
  return sourced;
}

/// Rows of {"KEY": one or several choices, and their source}; no choice twice.
template <class T, std::size_t N>
std::vector<Sourced<T>> read_sourced_choices(const JsonNode* node, std::string_view key,
                                             const std::array<T, N>& choices, RuleDesk& desk) {
  Once once;
  return read_table<Sourced<T>>(node, desk, [&](ObjectReader& object) {
    const std::vector<T> chosen = read_choices(object.wanted(key), choices, desk);
    const RuleRef source = read_source(object);
    std::vector<Sourced<T>> rows;
    for (const T choice : chosen) {
      once.claim(fmt::format("{} \"{}\"", key, text_of(choice)), object.line(), desk);
      rows.push_back({choice, source});
    }
    return rows;
  });
}

}  // namespace strandbook
