#include "edge/exchange/cell_quantity.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

namespace strandbook {
namespace {

class CellQuantity : public testing::Test {
 protected:
  Grid grid_{"x.csv", "", std::make_shared<const std::string>()};
  NumberSense numbers_{NumberColumns{&grid_, 0, {}}};

  std::string level(std::string_view text, Unit heading = Unit::none) {
    const auto cell = read_level(text, heading, {20}, numbers_);
    if (cell.state == CellState::blank) return "blank";
    if (!cell.has_value()) return "unusable: " + std::string(cell.advice);
    return cell.value.dark ? "dark" : std::to_string(std::llround(cell.value.value * 100));
  }
  std::string loss(std::string_view text) {
    const auto cell = read_loss(text, numbers_);
    if (!cell.has_value()) return cell.state == CellState::blank ? "blank" : "unusable";
    return cell.value.dark ? "dark" : std::to_string(std::llround(cell.value.value * 100));
  }
  double length(std::string_view text, Unit heading = Unit::none) {
    const auto cell = read_length(text, heading, numbers_);
    return cell.has_value() ? cell.value.value : -1;
  }
  double wavelength(std::string_view text, Unit heading = Unit::none) {
    const auto cell = read_wavelength(text, heading, numbers_);
    return cell.has_value() ? cell.value.value : -1;
  }
};

TEST_F(CellQuantity, TheLevelWinsOverMilliwattsBesideIt) {
  EXPECT_EQ(level("0.00 mW (-24.05 dBm)"), "-2405");
  EXPECT_EQ(level("-24.05 dBm (0.00 mW)"), "-2405");
  EXPECT_EQ(level("0.61 mW / -2.15 dBm"), "-215");
  EXPECT_EQ(level("-15.2dBm"), "-1520");
  EXPECT_EQ(level("0,61 mW; -2,15 dBm"), "-215");
  EXPECT_EQ(level("0.61 mW / -3.15 dBm"), "unusable: dBm = 10 log10(mW): one of the two is wrong");
}

TEST_F(CellQuantity, MilliwattsAloneAreConverted) {
  EXPECT_EQ(level("0.5 mW"), "-301");
  EXPECT_EQ(level("0.5", Unit::mw), "-301");
  EXPECT_EQ(level("10 \xC2\xB5W"), "-2000");
  EXPECT_EQ(level("0.00 mW").substr(0, 8), "unusable");
  EXPECT_EQ(level("-1", Unit::mw).substr(0, 8), "unusable");
}

TEST_F(CellQuantity, DarknessIsNoLevel) {
  for (const std::string_view text : {"-40.00", "-40.00 dBm", "0.0001 mW / -40.00 dBm", "0.0000 mW", "-inf",
                                      "-Inf", "LO", "no light", "None", "-\xE2\x88\x9E", "-inf dBm"})
    EXPECT_EQ(level(text), "dark") << text;
  EXPECT_EQ(level("-39.99"), "-3999");
  EXPECT_EQ(loss("no light"), "dark");
}

TEST_F(CellQuantity, AReceiverNeverSeesTwentyThreeDbm) {
  EXPECT_EQ(level("23.1dBm"), "unusable: minus sign left out?");
  EXPECT_EQ(level("23.1"), "unusable: minus sign left out?");
  EXPECT_EQ(level("20"), "2000");
}

TEST_F(CellQuantity, LevelsAndLossesAreNeverMixedUp) {
  EXPECT_EQ(level("0.71 dB"), "unusable: dB is a loss, not a level");
  EXPECT_EQ(loss("-20.1 dBm"), "unusable");
  EXPECT_EQ(loss("0.71 dB"), "71");
  EXPECT_EQ(loss("-0.42"), "-42");
  EXPECT_EQ(loss("\xE2\x88\x92"
                 "0.42 dB"),
            "-42");
}

TEST_F(CellQuantity, RubbishIsRefused) {
  for (const std::string_view text :
       {"1,2OO", "0.7l", "0.71x", "nan", "inf", "-inf", "1e300", "0.7 0.8", "0.71 dB dB", "151"})
    EXPECT_EQ(loss(text), "unusable") << text;
  EXPECT_EQ(read_loss("1,2OO", numbers_).advice, "letter O, not zero?");
  EXPECT_EQ(loss("n/a"), "blank");
  EXPECT_EQ(loss("-"), "blank");
}

TEST_F(CellQuantity, BracketsWithoutANumberAreToldWhatIsWanted) {
  for (const std::string_view text : {")", "( )", "/", "=;"}) {
    EXPECT_EQ(read_level(text, Unit::dbm, {20}, numbers_).wanted, "a level in dBm, such as -20.46") << text;
    EXPECT_EQ(read_loss(text, numbers_).wanted, "a loss in dB, such as 0.71") << text;
    EXPECT_EQ(read_quantity(text, numbers_).wanted, "a number") << text;
    EXPECT_EQ(read_length(text, Unit::m, numbers_).state, CellState::unusable) << text;
  }
}

TEST_F(CellQuantity, LengthsInMetresKilometresFeet) {
  EXPECT_NEAR(length("328 ft"), 99.9744, 1e-9);
  EXPECT_NEAR(length("328", Unit::ft), 99.9744, 1e-9);
  EXPECT_DOUBLE_EQ(length("0.100 km"), 100);
  EXPECT_DOUBLE_EQ(length("0.100", Unit::km), 100);
  EXPECT_DOUBLE_EQ(length("1'250.5 m"), 1250.5);
  EXPECT_DOUBLE_EQ(length("200 km"), 200000);
  for (const std::string_view text :
       {"-5", "nan", "inf", "200.1 km", "12 dB", "1e9", "1,2OO", "12 furlongs", "328'"})
    EXPECT_EQ(length(text), -1) << text;
}

TEST_F(CellQuantity, WavelengthsInNanometresMicrometres) {
  EXPECT_EQ(wavelength("850"), 850);
  EXPECT_EQ(wavelength("850 nm"), 850);
  EXPECT_EQ(wavelength("0.85", Unit::um), 850);
  EXPECT_EQ(wavelength("1.31"), 1310);
  EXPECT_EQ(wavelength("1,55 \xC2\xB5m"), 1550);
  EXPECT_EQ(wavelength("0.85", Unit::nm), -1);
  EXPECT_EQ(wavelength("85"), -1);
  EXPECT_EQ(wavelength("850 m"), -1);
  EXPECT_EQ(wavelength("850/1300"), -1);
}

TEST_F(CellQuantity, CountsAreWhole) {
  EXPECT_EQ(read_count("12", numbers_).value, 12);
  EXPECT_TRUE(read_count("2.0", numbers_).has_value());
  for (const std::string_view text : {"2.5", "-1", "10001", "two", "nan"})
    EXPECT_EQ(read_count(text, numbers_).state, CellState::unusable) << text;
}

}  // namespace
}  // namespace strandbook
