#include "front/meter_simulator/simulated_meter.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

TEST(SimulatedMeter, AnswersAsItIsSet) {
  SimulatedMeter meter({.noise_db = 0, .drift_db_per_hour = 0.5});
  EXPECT_EQ(meter.answer("READ:POW?", 0).text, "-5.000\n");
  meter.answer("SENS:POW:WAV 850NM", 0);
  EXPECT_EQ(meter.answer("READ:POW?", 7200).text, "-19.000\n");
  EXPECT_EQ(meter.answer("SENS:POW:WAV?\r", 0).text, "8.500E-07\n");
  meter.answer("SIM:LEVEL 850,-21.5", 0);
  EXPECT_EQ(meter.answer("read:pow?", 0).text, "-21.500\n");
}

TEST(SimulatedMeter, TheSameSeedGivesTheSameNoise) {
  SimulatedMeter one({.noise_db = 0.1, .seed = 7});
  SimulatedMeter other({.noise_db = 0.1, .seed = 7});
  const std::string first = one.answer("READ:POW?", 0).text;
  EXPECT_EQ(other.answer("READ:POW?", 0).text, first);
  EXPECT_NE(one.answer("READ:POW?", 0).text, first);
}

TEST(SimulatedMeter, FaultsOnDemand) {
  SimulatedMeter meter({});
  meter.answer("SIM:FAULT silent", 0);
  EXPECT_EQ(meter.answer("*IDN?", 0).text, "");
  meter.answer("SIM:FAULT hang-up", 0);
  EXPECT_TRUE(meter.answer("*IDN?", 0).hang_up);
  meter.answer("SIM:FAULT none", 0);
  EXPECT_NE(meter.answer("*IDN?", 0).text, "");
}

}  // namespace
}  // namespace strandbook
