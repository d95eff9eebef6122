#include "domain/statistics/acceptance_sampling.hpp"

#include <gtest/gtest.h>

#include <array>

#include "domain/statistics/r_for_tests.hpp"

namespace strandbook {
namespace {

struct Row {
  double share, accepted;
};

// SOURCE: MIL-STD-105E, level II, lot 3201 to 10000, AQL 1.5 %: 200/7; (0.064, 0.054) as printed for it in a
// public vignette on its tables, the others worked out with R 4.2.2 (pbinom).
TEST(AcceptanceSampling, TwoHundredSeven) {
  constexpr std::array rows = {Row{.015, .9887}, Row{.02, .9507}, Row{.03, .7461},
                               Row{.04, .4501},  Row{.05, .2133}, Row{.064, .0542}};
  for (const Row& row : rows)
    EXPECT_NEAR(acceptance_probability({200, 7}, row.share), row.accepted, 6e-5) << row.share;
}

// SOURCE: NIST/SEMATECH e-Handbook 6.2.3.2, plan (52,3), printed to three digits (two of them one digit off
// R).
TEST(AcceptanceSampling, HandbookPlan) {
  constexpr std::array rows = {Row{.01, .998}, Row{.02, .980}, Row{.03, .930}, Row{.04, .845},
                               Row{.05, .739}, Row{.06, .620}, Row{.07, .502}, Row{.08, .394},
                               Row{.09, .300}, Row{.10, .223}, Row{.11, .162}, Row{.12, .115}};
  for (const Row& row : rows)
    EXPECT_NEAR(acceptance_probability({52, 3}, row.share), row.accepted, 1.6e-3) << row.share;
}

// SOURCE: manual of the R package AcceptanceSampling (two risk points), and R 4.2.2.
TEST(AcceptanceSampling, PlanForTwoRiskPoints) {
  const auto plan = smallest_plan(RiskPoints{.05, .05, .15, .075});
  ASSERT_TRUE(plan);
  EXPECT_EQ(*plan, (SamplingPlan{80, 7}));
  EXPECT_NEAR(acceptance_probability(*plan, .05), .95341, 6e-6);
  EXPECT_NEAR(acceptance_probability(*plan, .15), .07272, 6e-6);
  EXPECT_NEAR(acceptance_probability({20, 0}, .05), .3585, 6e-5);
  EXPECT_NEAR(acceptance_probability({20, 0}, .15), .0388, 6e-5);
}

// SOURCE: R 4.2.2, phyper: lot of 100, sample of 10, none accepted.
TEST(AcceptanceSampling, IsolatedLot) {
  constexpr std::array<std::pair<std::uint32_t, double>, 5> rows = {
      {{1, .9000}, {2, .8091}, {5, .5838}, {10, .3305}, {20, .0951}}};
  for (const auto& [bad, accepted] : rows)
    EXPECT_NEAR(acceptance_probability({10, 0}, 100, bad), accepted, 6e-5);
}

// SOURCE: R 4.2.2: least n with phyper(0, D, N - D, n) <= 0.05.
TEST(AcceptanceSampling, ZeroFailureSizes) {
  constexpr std::array<std::uint32_t, 6> lots = {50, 100, 200, 500, 1000, 5000};
  constexpr std::array<double, 4> shares = {.10, .05, .02, .01};
  constexpr std::array<std::array<std::uint32_t, 6>, 4> sizes = {{{22, 25, 27, 28, 29, 29},
                                                                  {31, 45, 51, 56, 57, 59},
                                                                  {48, 78, 105, 129, 138, 147},
                                                                  {48, 95, 155, 225, 258, 290}}};
  for (std::size_t share = 0; share < shares.size(); ++share)
    for (std::size_t lot = 0; lot < lots.size(); ++lot)
      EXPECT_EQ(zero_failure_size(lots[lot], shares[share], .05), sizes[share][lot])
          << lots[lot] << " " << shares[share];
}

TEST(AcceptanceSampling, BoundAndPlanOfALotAgainstR) {
  const std::vector<double> r = r_says(
      "D <- 0:500; ok <- phyper(2, D, 500 - D, 60) > .05 & D <= 500 - 58;"
      "f <- function(n, c) c(phyper(c, 5, 495, n), phyper(c, 50, 450, n));"
      "best <- NULL; for (n in 1:500) { for (c in 0:20) { p <- f(n, c); if (p[1] >= .95 && p[2] <= .1) {"
      " best <- c(n, c); break } }; if (!is.null(best)) break }; cat(max(D[ok]), best)");
  ASSERT_EQ(r.size(), 3u);
  EXPECT_EQ(most_bad(500, 60, 2, .95), static_cast<std::uint32_t>(r[0]));
  const auto plan = smallest_plan(RiskPoints{.01, .05, .10, .1}, 500);
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->size, static_cast<std::uint32_t>(r[1]));
  EXPECT_EQ(plan->accept, static_cast<std::uint32_t>(r[2]));
}

// The chance of one bad unit out of thousands is below what a double holds; that of accepting is so too,
// not 1.
TEST(AcceptanceSampling, HopelessLot) { EXPECT_LT(acceptance_probability({5000, 0}, 10000, 5000), 1e-300); }

TEST(AcceptanceSampling, WholeLotKnowsEverything) {
  EXPECT_EQ(most_bad(20, 20, 3, .95), 3u);
  EXPECT_EQ(acceptance_probability({20, 2}, 20, 3), 0);
  EXPECT_EQ(acceptance_probability({20, 3}, 20, 3), 1);
  EXPECT_FALSE(smallest_plan(RiskPoints{.20, .05, .10, .1}, 20));
}

}  // namespace
}  // namespace strandbook
