#include "domain/statistics/change_point.hpp"

#include <gtest/gtest.h>

#include <array>

namespace strandbook {
namespace {

constexpr std::array<double, 100> nile{
    1120, 1160, 963,  1210, 1160, 1160, 813,  1230, 1370, 1140, 995,  935,  1110, 994, 1020, 960,  1180,
    799,  958,  1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774,  840,  874, 694,  940,  833,
    701,  916,  692,  1020, 1050, 969,  831,  726,  456,  824,  702,  1120, 1100, 832, 764,  821,  768,
    845,  864,  862,  698,  845,  744,  796,  1040, 759,  781,  865,  845,  944,  984, 897,  822,  1010,
    771,  676,  649,  846,  812,  742,  801,  1040, 860,  874,  848,  890,  744,  749, 838,  1050, 918,
    986,  797,  923,  975,  815,  1020, 906,  901,  1170, 912,  746,  919,  718,  714, 740};

TEST(ChangePoint, TheNileBreaksAfter1898) {
  // SOURCE: annual flow of the Nile at Aswan 1871–1970 (Cobb, Biometrika 65 (1978) 243; ships with R): break
  // after observation 28; RSS 1 597 457.19 of 2 835 156.75, means 1097.75 and 849.97, F 75.930 (computed with
  // R 4.2.2).
  const LevelChange change = likeliest_change(nile, 15);
  EXPECT_EQ(change.after, 28u);
  EXPECT_NEAR(change.before, 1097.75, 0.005);
  EXPECT_NEAR(change.since, 849.97, 0.005);
  EXPECT_NEAR(change.residual_squares, 1597457.19, 0.01);
  EXPECT_NEAR(change.whole_squares, 2835156.75, 0.01);
  EXPECT_NEAR(change.f, 75.930, 0.0006);
  EXPECT_LT(change_probability(change, nile.size(), 71), 1e-9);
}

TEST(ChangePoint, NoChangeIsNoChange) {
  const std::array<double, 8> values{1, 2, 1, 2, 1, 2, 1, 2};
  EXPECT_EQ(change_probability(likeliest_change(values, 2), values.size(), 5), 1);
}

}  // namespace
}  // namespace strandbook
