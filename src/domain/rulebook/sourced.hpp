#pragma once
// A value with where it comes from.

#include "domain/rulebook/rule_ref.hpp"

namespace strandbook {

/// A number of a table, or a demand of an owner, that never travels without its source.
template <class Unit>
struct Sourced {
  Unit value{};
  RuleRef source;
};

}  // namespace strandbook
