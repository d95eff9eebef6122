#pragma once
// For tests of the shipped rule sets: the rules, the examples, and a question in one line.

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "domain/rulebook/limit.hpp"
#include "edge/exchange/rule_file.hpp"

namespace strandbook::shipped_rules {

using enum ReferenceMethod;
using enum CordGrade;
using enum Configuration;

inline const std::string root = STRANDBOOK_ROOT;

inline const Rulebook& shipped() {
  static const Rulebook rulebook = [] {
    auto read = read_rulebook(root + "/rules");
    if (read) return *read;
    ADD_FAILURE() << describe(read.problem());
    return Rulebook{};
  }();
  return rulebook;
}

inline const RuleSet& rule(std::string_view id) {
  const RuleSet* found = find_rule(shipped(), id);
  static const RuleSet none;
  EXPECT_NE(found, nullptr) << id;
  return found != nullptr ? *found : none;
}

inline RuleSet example(const std::string& name) {
  auto read = read_rule_file(root + "/tests/data/rules/own/" + name + ".json");
  if (read) return *read;
  ADD_FAILURE() << describe(read.problem());
  return {};
}

inline LimitQuestion link_of(FibreCategory fibre, double metres, int connections, int splices,
                             double nanometres) {
  return {.fibre = fibre,
          .plant = Plant::unstated,
          .length = Metres{metres},
          .connections = connections,
          .splices = splices,
          .wavelength = {nanometres},
          .method = std::nullopt,
          .cords = std::nullopt,
          .configuration = std::nullopt};
}

inline double value_of(const RuleSet& rules, const LimitQuestion& question) {
  const auto limit = limit_of(rules, question);
  EXPECT_TRUE(limit) << rules.id << ": " << describe(limit.problem());
  return limit ? limit->value.value : -1;
}

inline bool equal(double found, double published) {
  return at_most({found}, {published}) && at_most({published}, {found});
}

}  // namespace strandbook::shipped_rules
