// Laws that hold for every shipped row of the link model.

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "domain/applications/link_margin.hpp"
#include "edge/exchange/link_models_for_tests.hpp"

namespace strandbook {
namespace {

using namespace shipped_models;

double any_between(double least, double most) {
  return least + (most - least) * *rc::gen::inRange(0, 100001) / 100000;
}

/// A row with penalties, at times with the cable's own attenuation, bandwidth or another spectral width.
LinkModelInputs any_inputs() {
  std::vector<LinkModelInputs> known;
  for (const LinkModelRow& each : all_link_models().rows)
    if (each.penalties_unknown.empty()) known.push_back(each.inputs);
  LinkModelInputs inputs = *rc::gen::elementOf(known);
  inputs.attenuation_db_per_km *= any_between(0.7, 1.5);
  inputs.modal_bandwidth_mhz_km *= any_between(0.5, 3);
  inputs.rms_width_nm *= any_between(0.5, 1.3);
  return inputs;
}

Metres any_length(const LinkModelInputs& inputs) { return {inputs.target_length_m * any_between(0, 2)}; }

/// Reflections are strongest over no loss at all: there the first hundredths of a dB may give back a
/// thousandth.
double fading_of(const LinkModelInputs& inputs, Metres length, Decibels connections) {
  return inputs.reflection_count > 0 && channel_loss(inputs, length, connections) < Decibels{0.2} ? 2e-3
                                                                                                  : 1e-9;
}

bool gains(double before, double after, double allowed) { return after > before + allowed; }

RC_GTEST_PROP(LinkModelLaws, QuickFormAgreesWithTheEquations, ()) {
  const LinkModelInputs inputs = any_inputs();
  const Metres length = any_length(inputs);
  const Decibels connections{any_between(0, 5)};
  const LinkModelResult result = evaluate(inputs, length, connections);
  const double quick = LinkMargin(inputs).at(length, connections).value;
  if (result.penalties.value < 20)
    RC_ASSERT(std::abs(quick - result.margin.value) <= 1e-12 * std::max(1.0, std::abs(result.margin.value)));
  else
    RC_ASSERT(quick < 0);
}

RC_GTEST_PROP(LinkModelLaws, TermsAddUp, ()) {
  const LinkModelInputs inputs = any_inputs();
  const Decibels connections{any_between(0, 3)};
  const LinkModelResult result = evaluate(inputs, any_length(inputs), connections);
  RC_PRE(!std::isinf(result.total.value));
  RC_ASSERT(
      std::abs((result.budget - connections - result.fibre_loss - result.penalties - result.margin).value) <
      1e-9);
  RC_ASSERT(result.isi.value >= 0 && result.jitter.value >= -1e-12 && result.corner.value >= -1e-12);
  RC_ASSERT(result.mode_partition.value >= 0 && result.relative_intensity.value > 0);
}

RC_GTEST_PROP(LinkModelLaws, MoreLengthNeverGainsMargin, ()) {
  const LinkModelInputs inputs = any_inputs();
  const LinkMargin margin(inputs);
  const Metres length = any_length(inputs);
  const Decibels connections{any_between(0, 5)};
  const Metres longer{length.value + inputs.target_length_m * any_between(0, 1)};
  RC_ASSERT(!gains(margin.at(length, connections).value, margin.at(longer, connections).value,
                   fading_of(inputs, length, connections)));
}

RC_GTEST_PROP(LinkModelLaws, MoreConnectionLossNeverGainsMarginOrReach, ()) {
  const LinkModelInputs inputs = any_inputs();
  const LinkMargin margin(inputs);
  const Metres length = any_length(inputs);
  const Decibels less{any_between(0, 5)};
  const Decibels more{less.value + any_between(0, 2)};
  RC_ASSERT(
      !gains(margin.at(length, less).value, margin.at(length, more).value, fading_of(inputs, length, less)));
  const auto far = margin.reach(less);
  const auto near = margin.reach(more);
  RC_ASSERT(!near || (far && near->value <= far->value + 1e-6));
}

RC_GTEST_PROP(LinkModelLaws, ReachIsWhereTheMarginEnds, ()) {
  const LinkModelInputs inputs = any_inputs();
  const LinkMargin margin(inputs);
  const Decibels connections{any_between(0, 4)};
  const auto reach = margin.reach(connections);
  if (!reach) {
    RC_ASSERT(margin.at({0}, connections).value < 0);
    return;
  }
  RC_ASSERT(margin.at(*reach, connections).value >= -1e-12);  // kilometres and metres round
  RC_ASSERT(margin.at({reach->value + 0.001}, connections).value < 0);
  const auto most = margin.most_connections(*reach);
  RC_ASSERT(most && std::abs(most->value - connections.value) < 1e-6);
}

RC_GTEST_PROP(LinkModelLaws, LessBandwidthNeverGainsMargin, ()) {
  LinkModelInputs inputs = any_inputs();
  const Metres length = any_length(inputs);
  const double before = LinkMargin(inputs).at(length, {1}).value;
  inputs.modal_bandwidth_mhz_km *= any_between(0.5, 1);
  RC_ASSERT(LinkMargin(inputs).at(length, {1}).value <= before + 0.02);
}

TEST(LinkMargin, ManyAtOnceAreTheSameAsOneByOne) {
  const LinkMargin margin(row("10GBASE-SR", "OM3").inputs);
  const std::vector<double> lengths{0, 26, 300, 1000, 5000};
  const std::vector<double> connections{0, 1.5, 1.5, 0.3, 2};
  std::vector<double> margins(lengths.size());
  margin.at_each(lengths, connections, margins);
  for (std::size_t i = 0; i < lengths.size(); ++i)
    EXPECT_EQ(margins[i], margin.at({lengths[i]}, {connections[i]}).value);
  EXPECT_EQ(margins.back(), -INFINITY);
}

TEST(LinkMargin, NoReachWhereTheConnectionsTakeAll) {
  const LinkMargin margin(row("10GBASE-SR", "OM3").inputs);
  EXPECT_FALSE(margin.reach({7.3}));
  EXPECT_FALSE(margin.most_connections({5000}));
  EXPECT_GT(margin.reach({1.5}).value(), Metres{300});
}

TEST(LinkCurve, BeginsAtNoLengthAndFalls) {
  const auto curve = link_curve(row("10GBASE-SR", "OM3").inputs, {1.5}, {3000}, 61);
  ASSERT_EQ(curve.size(), 61u);
  EXPECT_EQ(curve.front().length, Metres{0});
  EXPECT_EQ(curve.back().length, Metres{3000});
  for (std::size_t i = 1; i < curve.size(); ++i) EXPECT_LE(curve[i].margin, curve[i - 1].margin);
  EXPECT_EQ(curve.back().margin.value, -INFINITY);
}

}  // namespace
}  // namespace strandbook
