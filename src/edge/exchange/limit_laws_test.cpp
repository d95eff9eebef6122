// Laws that hold for the limit of any question under any shipped rule set.

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "edge/exchange/shipped_rules_for_tests.hpp"

namespace strandbook {
namespace {

using namespace shipped_rules;

// ---------------------------------------------------------------------------------------------------

LimitQuestion any_question(const RuleSet& rules) {
  const auto row = *rc::gen::elementOf(rules.attenuation);
  LimitQuestion question = link_of(row.fibre, *rc::gen::inRange(0, 200'000), *rc::gen::inRange(0, 40),
                                   *rc::gen::inRange(0, 200), row.wavelength.value);
  question.plant = row.plant;
  question.cords = *rc::gen::element(std::optional<CordGrade>(), std::optional(reference_grade),
                                     std::optional(standard_grade));
  question.method = *rc::gen::element(std::optional<ReferenceMethod>(), std::optional(one_cord),
                                      std::optional(two_cord), std::optional(three_cord));
  question.configuration =
      *rc::gen::element(std::optional<Configuration>(), std::optional(link), std::optional(channel));
  return question;
}

RC_GTEST_PROP(LimitLaws, LongerNeverSmaller, ()) {
  const RuleSet rules = *rc::gen::elementOf(shipped());
  LimitQuestion question = any_question(rules);
  const double shorter = value_of(rules, question);
  question.length = Metres{question.length->value + *rc::gen::inRange(0, 100)};
  RC_PRE(question.length->value <= 200'000);
  RC_ASSERT(at_most({shorter}, {value_of(rules, question)}));
}

RC_GTEST_PROP(LimitLaws, MoreConnectionsNeverSmaller, ()) {
  const RuleSet rules = *rc::gen::elementOf(shipped());
  LimitQuestion question = any_question(rules);
  const double fewer = value_of(rules, question);
  ++*question.connections;
  RC_ASSERT(at_most({fewer}, {value_of(rules, question)}));
  ++*question.splices;
  RC_ASSERT(fewer < value_of(rules, question));
}

RC_GTEST_PROP(LimitLaws, ThreeCordAtMostTwoCordAtMostOneCordForALink, ()) {
  const RuleSet rules = *rc::gen::elementOf(shipped());
  LimitQuestion question = any_question(rules);
  question.configuration = link;
  question.method = three_cord;
  const double three = value_of(rules, question);
  question.method = two_cord;
  const double two = value_of(rules, question);
  question.method = one_cord;
  const double one = value_of(rules, question);
  question.configuration = channel;
  RC_ASSERT(at_most({three}, {two}) && at_most({two}, {one}) && at_most({one}, {value_of(rules, question)}));
}

RC_GTEST_PROP(LimitLaws, WorkingAddsUpToTheLimit, ()) {
  const RuleSet rules = *rc::gen::elementOf(shipped());
  const auto limit = limit_of(rules, any_question(rules));
  RC_ASSERT(static_cast<bool>(limit));
  Decibels sum;
  for (const LimitTerm& term : limit->working) sum += term.total;
  RC_ASSERT(equal(sum.value, limit->value.value));
}

}  // namespace
}  // namespace strandbook
