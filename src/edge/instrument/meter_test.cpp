#include "edge/instrument/meter.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

TEST(Meter, LevelsAsMetersWriteThem) {
  struct Row {
    const char* reply;
    PowerUnit unit;
    double dbm;
  };
  for (const Row& row : {Row{"-20.13", PowerUnit::dbm, -20.13}, Row{" +3.0E+00\r", PowerUnit::dbm, 3},
                         Row{"1.0E-05", PowerUnit::watt, -20}, Row{"1E-3", PowerUnit::watt, 0}}) {
    const Result<PowerDbm> power = parse_power(row.reply, row.unit);
    ASSERT_TRUE(power) << row.reply;
    EXPECT_NEAR(power->value, row.dbm, 1e-9) << row.reply;
  }
}

// SOURCE: SCPI-99, volume 1, 7.2.1.4 and 7.2.1.5 (from memory): 9.9E37, -9.9E37, 9.91E37.
TEST(Meter, WhatIsNoLevelIsAProblem) {
  for (const char* reply : {"9.9E37", "-9.90E+37", "9.91E37", "", "LO", "-20.1 dBm", "nan", "inf", "1e999",
                            "-20,1", "\x01\xff", "-300", "70"})
    EXPECT_FALSE(parse_power(reply, PowerUnit::dbm)) << reply;
  for (const char* reply : {"0", "-1E-9", "200"}) EXPECT_FALSE(parse_power(reply, PowerUnit::watt)) << reply;
}

TEST(Meter, WavelengthsInNanometresOrMetres) {
  EXPECT_NEAR(parse_wavelength("1.310E-06")->value, 1310, 1e-6);
  EXPECT_NEAR(parse_wavelength("850")->value, 850, 1e-9);
  for (const char* reply : {"", "1.31", "0", "1310nm", "5000"})
    EXPECT_FALSE(parse_wavelength(reply)) << reply;
}

TEST(Meter, Addresses) {
  EXPECT_EQ(parse_meter_address("tcp://10.0.0.7:5025")->port, "5025");
  EXPECT_EQ(parse_meter_address("serial:/dev/ttyUSB0?baud=115200")->baud, 115200U);
  EXPECT_EQ(parse_meter_address("serial:/dev/ttyUSB0")->baud, 9600U);
  for (const char* text : {"", "tcp://", "tcp://host", "tcp://:5025", "tcp://h:x", "serial:/etc/passwd",
                           "serial:/dev/x?baud=1", "serial:/dev/x?speed=9600", "usb:0"})
    EXPECT_FALSE(parse_meter_address(text)) << text;
}

}  // namespace
}  // namespace strandbook
