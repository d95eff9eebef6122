// Small traces made here, each with the trouble it is named for.

#include <gtest/gtest.h>

#include <cmath>

#include "domain/traces/made_trace_for_tests.hpp"

namespace strandbook {
namespace {

using namespace made_trace;

TEST(Analyse, ConnectionSpliceGainAndEnd) {
  const TraceAnalysis found = analyse(trace_of({{{500, 0.3, -45}, {1400, 0.12}, {2200, -0.1}}}));
  const auto events = on_the_fibre(found);
  ASSERT_EQ(events.size(), 4u);
  const EventKind kinds[] = {EventKind::reflective, EventKind::loss, EventKind::gain,
                             EventKind::end_of_fibre};
  const double places[] = {500, 1400, 2200, 3000};
  const double losses[] = {0.3, 0.12, -0.1};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(events[i].kind, kinds[i]);
    EXPECT_NEAR(events[i].position.value, places[i], 2);
    if (i == 3) break;
    ASSERT_TRUE(events[i].loss);
    EXPECT_NEAR(events[i].loss->value, losses[i], 3.3 * events[i].loss->standard_uncertainty);
    EXPECT_LT(events[i].loss->standard_uncertainty, 0.01);
  }
  EXPECT_NEAR(events[0].reflectance->value, -45, 0.5);
  EXPECT_EQ(found.end, EndState::found);
  EXPECT_NEAR(found.slope.value, fibre_db_km, 0.01);
}

TEST(Analyse, NoStepsInTheTailOfAStrongPeak) {
  MadePlant plant{{{600, 0.25, -25}}};
  plant.tail_share = 2e-3;
  const auto events = on_the_fibre(analyse(trace_of(plant)));
  ASSERT_EQ(events.size(), 2u);
  EXPECT_NEAR(events[0].loss->value, 0.25, 0.01);
}

TEST(Analyse, TailBehindTheEndIsNoFibre) {
  MadePlant plant{{{600, 0.25, -45}}};
  plant.end_reflectance_db = -15;
  plant.full_db = 14;
  for (const double tail_m : {12.0, 25.0, 60.0}) {
    plant.tail_share = 1e-3;
    plant.tail_m = tail_m;
    const TraceAnalysis found = analyse(trace_of(plant));
    EXPECT_EQ(found.end, EndState::found) << tail_m;
    EXPECT_NEAR(found.length.value, 3000, 3) << tail_m;
  }
}

TEST(Analyse, PanelIsNoEventOfTheFibre) {
  for (const TraceEvent& event : on_the_fibre(analyse(trace_of({})))) EXPECT_GT(event.position.value, 20);
}

TEST(Analyse, EndWithoutAPeakIsFoundAndItsNoiseIsNoFibre) {
  MadePlant plant{{{600, 0.25, -45}}};
  plant.end_reflectance_db = -99;
  const TraceAnalysis found = analyse(trace_of(plant));
  EXPECT_EQ(found.end, EndState::found);
  EXPECT_NEAR(found.length.value, 3000, 6);
}

TEST(Analyse, EndWithoutAPeakSixPulsesBehindAConnectionIsFound) {
  // The receiver's answer to the connection lasts nearly as long as the fibre behind it.
  MadePlant plant{{{600, 0.25, -45}, {2981, 0.3, -38}}};
  plant.end_reflectance_db = -99;
  const TraceAnalysis found = analyse(trace_of(plant));
  EXPECT_EQ(found.end, EndState::found);
  EXPECT_NEAR(found.length.value, 3000, 1.5);
}

TEST(Analyse, PeakSevenPulsesBehindAStrongConnectionIsTheEnd) {
  MadePlant plant{{{600, 0.25, -45}, {2978, 0.3, -28}}};
  plant.end_reflectance_db = -20;
  const TraceAnalysis found = analyse(trace_of(plant));
  EXPECT_EQ(found.end, EndState::found);
  EXPECT_NEAR(found.length.value, 3000, 1);
}

TEST(Analyse, EchoShortlyBehindAnEndWithoutAPeakIsNotTheEnd) {
  MadePlant plant{{{600, 0.25, -45}}};
  plant.end_reflectance_db = -99;
  Trace trace = trace_of(plant);
  for (std::size_t k = 6040; k <= 6046; ++k)
    trace.level_db[k] = 5 * std::log10(std::pow(10, trace.level_db[k] / 5) + 0.03);
  const TraceAnalysis found = analyse(trace);
  EXPECT_EQ(found.end, EndState::found);
  EXPECT_NEAR(found.length.value, 3000, 3);
}

TEST(Analyse, EndWithinTheLastTwelfthOfTheTraceIsNoNoise) {
  MadePlant plant{{{600, 0.25, -45}}};
  plant.end_reflectance_db = -15;
  plant.tail_share = 1e-3;
  Trace trace = trace_of(plant);
  trace.level_db.resize(6400);  // 3200 m
  const TraceAnalysis found = analyse(trace);
  EXPECT_EQ(found.end, EndState::found);
  EXPECT_NEAR(found.length.value, 3000, 3);
  EXPECT_EQ(on_the_fibre(found).size(), 2u);
}

TEST(Analyse, NoiseIsSeenWhereOnlyThirtyPulsesOfItAreLeft) {
  // The last twelfth of the samples holds fibre, the end's own peak, and thirty pulses of darkness.
  MadePlant plant{{{600, 0.25, -45}}};
  plant.end_reflectance_db = -20;
  Trace trace = trace_of(plant);
  trace.level_db.resize(6200);  // 3100 m
  const TraceAnalysis found = analyse(trace);
  EXPECT_EQ(found.end, EndState::found);
  EXPECT_NEAR(found.length.value, 3000, 1);
}

TEST(Analyse, FibreThatSinksIntoTheNoiseHasNoEnd) {
  MadePlant plant;
  plant.end_m = 40'000;
  plant.range_db = 7;
  const TraceAnalysis found = analyse(trace_of(plant));
  EXPECT_NE(found.end, EndState::found);
  EXPECT_TRUE(on_the_fibre(found).empty());
}

TEST(Analyse, EchoBetweenTwoConnectionsIsToldAsOne) {
  // From 900 back to 500 and out again: 1300 m, three reflectances over the backscatter's unit.
  constexpr double reflectance_db = -22;
  Trace trace = trace_of({{{500, 0.2, reflectance_db}, {900, 0.2, reflectance_db}}});
  const double unit_db = backscatter_db + 10 * std::log10(pulse_ns);
  const double lost = 2 * (0.35 * 0.9 + 0.2) - 0.35 * 0.5;
  const double echo = std::pow(10, (3 * reflectance_db - unit_db) / 10 - lost / 5);
  for (std::size_t k = 2601; k <= 2606; ++k)
    trace.level_db[k] = 5 * std::log10(std::pow(10, trace.level_db[k] / 5) + echo);
  const TraceAnalysis found = analyse(trace);
  std::size_t ghosts = 0;
  for (const TraceEvent& event : found.events)
    if (event.kind == EventKind::ghost) {
      ++ghosts;
      EXPECT_NEAR(event.position.value, 1300, 3);
      EXPECT_NE(event.echo.find("echo between"), std::string::npos);
    }
  EXPECT_EQ(ghosts, 1u);
}

TEST(Analyse, ErrorOfASpliceIsWhatIsStated) {
  // Nothing but white noise: the errors' root mean square over what is stated is 1; 40 traces tell it to
  // 0.11.
  constexpr int traces = 40;
  double squares = 0;
  for (int i = 0; i < traces; ++i) {
    MadePlant plant{{{1500, 0.1}}};
    plant.seed = static_cast<std::uint64_t>(i + 1);
    const auto events = on_the_fibre(analyse(trace_of(plant)));
    ASSERT_EQ(events.size(), 2u);
    squares += std::pow((events[0].loss->value - 0.1) / events[0].loss->standard_uncertainty, 2);
  }
  EXPECT_GT(std::sqrt(squares / traces), 0.6);
  EXPECT_LT(std::sqrt(squares / traces), 1.4);
}

TEST(Analyse, SpliceThatWasMissedDoesNotHideItselfInTheNoise) {
  // A hundred pulses of fibre: what is taken for noise at first holds the splices.
  MadePlant plant{{{68, 0.369}, {124, 0.062}, {163, 0.39}, {219, 0.455}, {261, 0.253, -40}}};
  plant.end_m = 291;
  plant.range_db = 10;
  plant.seed = 76;
  EXPECT_EQ(on_the_fibre(analyse(trace_of(plant))).size(), 6u);
  plant = {{{72, 0.241}, {116, 0.381}, {149, 0.381}, {193, 0.447}, {243, 0.085}, {278, 0.333, -40}}};
  plant.end_m = 308;
  plant.range_db = 10.5;
  plant.seed = 192;
  EXPECT_EQ(on_the_fibre(analyse(trace_of(plant))).size(), 7u);
}

TEST(Analyse, SamplesFilledWithZerosBehindTheEndAreNoFibre) {
  // An instrument that fills up its last samples: they stand at the floor.
  Trace trace = trace_of({{{600, 0.25, -45}}});
  for (std::size_t k = trace.level_db.size() * 9 / 10; k < trace.level_db.size(); ++k)
    trace.level_db[k] = -65.535;
  const TraceAnalysis found = analyse(trace);
  EXPECT_NEAR(found.length.value, 3000, 3);
  EXPECT_EQ(on_the_fibre(found).size(), 2u);
}

TEST(OpticalTime, LengthsThatAreWorkedOutElsewhere) {
  // c·τ/(2n), n = 1.468: 3 ns 0.31 m, 10 ns 1.02 m, 30 ns 3.06 m, 1 µs 102 m, 20 µs 2042 m. One way and there
  // and back differ by two (ITU-T G.650.1, 5.4.2 takes the time between the two ends of the curve).
  for (const auto& [ns, metres] :
       {std::pair{3.0, 0.31}, {10.0, 1.02}, {30.0, 3.06}, {1000.0, 102.1}, {20'000.0, 2042.0}})
    EXPECT_NEAR(shown_pulse_m(ns, {made_index}), metres, 0.005 + 0.001 * metres);
  EXPECT_NEAR(distance_m(OneWaySeconds{1e-5}, {made_index}),
              2 * distance_m(RoundTripSeconds{1e-5}, {made_index}), 1e-9);
  // An index that is off by 0.001 shifts a kilometre by 0.68 m.
  EXPECT_NEAR(distance_m(OneWaySeconds{4.8967e-6}, {1.468}) - distance_m(OneWaySeconds{4.8967e-6}, {1.469}),
              0.68, 0.01);
}

TEST(Analyse, TooShortOrWithoutAPulseIsSaid) {
  Trace trace = trace_of({});
  trace.settings.pulse_ns = 0;
  EXPECT_TRUE(analyse(trace).events.empty());
  EXPECT_EQ(analyse(trace).notes.size(), 1u);
  trace.settings.pulse_ns = pulse_ns;
  trace.level_db.resize(40);
  EXPECT_EQ(analyse(trace).notes.size(), 1u);
}

TEST(Analyse, NothingInTheSamplesBreaksIt) {
  Trace trace = trace_of({});
  for (const double value : {0.0, -65.535, 60.0, std::nan(""), -1e300, 1e300}) {
    trace.level_db.assign(2000, value);
    analyse(trace);
  }
  for (std::size_t k = 0; k < trace.level_db.size(); ++k) trace.level_db[k] = k % 2 == 0 ? -60 : 0;
  analyse(trace);
}

}  // namespace
}  // namespace strandbook
