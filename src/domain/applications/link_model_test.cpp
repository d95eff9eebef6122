#include "domain/applications/link_model.hpp"

#include <gtest/gtest.h>

#include "domain/applications/link_model_table.hpp"

namespace strandbook {
namespace {

// SOURCE: IEEE 802.3 Table 121-14 (read in an extract): zero dispersion 1300 to 1324 nm, slope at most 0.093.
constexpr Nanometres zero_least{1300};
constexpr Nanometres zero_most{1324};
constexpr double slope = 0.093;

// SOURCE: IEEE 802.3 Table 121-14 (read in an extract): 200GBASE-DR4 over 500 m, −0.93 to +0.80 ps/nm.
TEST(Dispersion, ChannelLimitsOf200GbaseDr4) {
  EXPECT_NEAR(0.5 * dispersion_ps_nm_km({1304.5}, zero_most, slope), -0.93, 0.005);
  EXPECT_NEAR(0.5 * dispersion_ps_nm_km({1317.5}, zero_least, slope), 0.80, 0.005);
}

// Worked out from ITU-T G.652's formula with its limits; 0.092 is the slope of G.652.D, from memory.
TEST(Dispersion, WorstCases) {
  struct Case {
    double nm, zero, slope, expected;
  };
  for (const Case& each :
       {Case{1260, 1324, 0.093, -6.42}, Case{1264.5, 1324, 0.093, -5.94}, Case{1337.5, 1300, 0.093, 3.34},
        Case{1310, 1324, 0.092, -1.31}, Case{1310, 1300, 0.092, 0.91}, Case{1565, 1300, 0.093, 19.06},
        Case{850, 1320, 0.11, -112.6}, Case{840, 1320, 0.11, -117.8}, Case{840, 1365, 0.093, -116.7}})
    EXPECT_NEAR(dispersion_ps_nm_km({each.nm}, {each.zero}, each.slope), each.expected,
                each.nm < 1000 ? 0.05 : 0.006)
        << each.nm;
}

TEST(Eye, OpensWithSharpnessAndClosesWithOffset) {
  EXPECT_DOUBLE_EQ(eye_opening(100, 0.5), 1);
  EXPECT_LT(eye_opening(0.3, 0), 0);
  EXPECT_LT(eye_opening(1, 0.3), eye_opening(1, 0.1));
}

TEST(LinkModelFields, NamesAndMembersAreEachUsedOnce) {
  const auto fields = link_model_fields();
  for (const LinkModelField& a : fields) {
    EXPECT_LT(a.least, a.most) << a.name;
    EXPECT_EQ(&field_of(a.member), &a);
    for (const LinkModelField& b : fields) EXPECT_TRUE(&a == &b || a.name != b.name) << a.name;
  }
}

}  // namespace
}  // namespace strandbook
