#include "edge/exchange/heading_words.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

struct HeadingRow {
  std::string_view heading;
  Field field;
  Unit unit = Unit::none;
  double wavelength = 0;
  std::string_view direction = "";
};

TEST(HeadingWords, UnderstandsWhatCrewsWrite) {
  const HeadingRow rows[] = {
      {"strand", Field::strand},
      {"Strang", Field::strand},
      {"FIBER NO.", Field::strand},
      {"Länge m", Field::length, Unit::m},
      {"Length (ft)", Field::length, Unit::ft},
      {"len_km", Field::length, Unit::km},
      {"m", Field::length, Unit::m},
      {"Loss [dB]", Field::loss, Unit::db},
      {"dB", Field::loss, Unit::db},
      {"il", Field::loss},
      {"lossDb", Field::loss, Unit::db},
      {"loss_850_dB", Field::loss, Unit::db, 850},
      {"Dämpfung 850 nm", Field::loss, Unit::none, 850},
      {"IL 1310 AB (dB)", Field::loss, Unit::db, 1310, "AB"},
      {"850 nm A-B (dB)", Field::loss, Unit::db, 850, "AB"},
      {"Loss @ 1.31 µm B→A", Field::loss, Unit::none, 1310, "BA"},
      {"power_850_dBm", Field::power, Unit::dbm, 850},
      {"Power", Field::power},
      {"rx_dBm", Field::power, Unit::dbm},
      {"rx_mW", Field::power, Unit::mw},
      {"tx_dBm", Field::launch_power, Unit::dbm},
      {"lambda_um", Field::wavelength, Unit::um},
      {"nm", Field::wavelength, Unit::nm},
      {"Wave", Field::wavelength},
      {"source_nm", Field::wavelength, Unit::nm},
      {"source", Field::source},
      {"meter_setting_nm", Field::meter_setting, Unit::nm},
      {"meter", Field::meter},
      {"Richtung", Field::direction},
      {"Datum", Field::date},
      {"test_time", Field::time},
      {"end_A", Field::end_a},
      {"mated_pairs", Field::connections},
      {"limit_dB", Field::limit, Unit::db},
      {"Longueur d'onde (nm)", Field::wavelength, Unit::nm},
      {"worst_loss_dB", Field::loss, Unit::db},
      {"Result (dB)", Field::loss, Unit::db},
      {"Result (dBm)", Field::power, Unit::dbm},
  };
  for (const HeadingRow& row : rows) {
    const HeadingMeaning found = meaning_of_heading(row.heading);
    EXPECT_EQ(static_cast<int>(found.field), static_cast<int>(row.field)) << row.heading;
    EXPECT_EQ(static_cast<int>(found.unit), static_cast<int>(row.unit)) << row.heading;
    EXPECT_DOUBLE_EQ(found.wavelength_nm, row.wavelength) << row.heading;
    EXPECT_EQ(found.direction ? text_of(*found.direction) : "", row.direction) << row.heading;
  }
}

TEST(HeadingWords, NeverTakesOtherDecibelsForALoss) {
  for (const std::string_view heading :
       {"Margin (dB)", "loss margin dB", "headroom_dB", "Return loss (dB)", "reflectance_dB",
        "splice loss dB", "dB/km", "site_dB_per_km", "otdr_ab_dB", "expected loss (dB)", "Loss (dBm)",
        "Power (dB)", "rx_low_alarm_dBm", "max_loss_dB", "loss budget dB", "loss %", "850/1300 nm loss dB"}) {
    const Field field = meaning_of_heading(heading).field;
    EXPECT_NE(field, Field::loss) << heading;
    EXPECT_NE(field, Field::power) << heading;
  }
}

TEST(HeadingWords, TellsExpandedFromStandardUncertainty) {
  for (const std::string_view heading : {"U (dB)", "expanded uncertainty dB", "uncertainty k=2 (dB)", "U"}) {
    EXPECT_EQ(meaning_of_heading(heading).field, Field::uncertainty) << heading;
    EXPECT_TRUE(meaning_of_heading(heading).expanded) << heading;
  }
  for (const std::string_view heading :
       {"u (dB)", "uncertainty_db", "standard uncertainty", "Uncertainty k=1 dB"}) {
    EXPECT_EQ(meaning_of_heading(heading).field, Field::uncertainty) << heading;
    EXPECT_FALSE(meaning_of_heading(heading).expanded) << heading;
  }
}

TEST(HeadingWords, KnowsAHeadingThatSaysOnlyHalf) {
  EXPECT_TRUE(is_partial(meaning_of_heading("850")));
  EXPECT_FALSE(is_partial(meaning_of_heading("850 nm")) && meaning_of_heading("850 nm").unit != Unit::none);
  EXPECT_TRUE(is_partial(meaning_of_heading("850 nm")));
  EXPECT_TRUE(is_partial(meaning_of_heading("A>B")));
  EXPECT_FALSE(is_partial(meaning_of_heading("remark")));
}

TEST(TableFields, KnowsItsNames) {
  EXPECT_EQ(field_by_name("Loss dB", TableKind::readings)->field, Field::loss);
  EXPECT_FALSE(field_by_name("loss_db", TableKind::schedule));
  EXPECT_TRUE(is_field_name("wavelengths"));
  EXPECT_FALSE(is_field_name("colour"));
}

}  // namespace
}  // namespace strandbook
