#include "workflow/engineer_link.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "edge/exchange/link_model_file.hpp"

namespace strandbook {
namespace {

Result<EngineeredLink> asked(const EngineerQuestion& question) {
  static const Result<LinkModelTable> table = read_link_models(STRANDBOOK_ROOT "/rules");
  EXPECT_TRUE(table);
  return engineer_link(*table, question);
}

EngineerQuestion om3() { return {"10GBASE-SR", "OM3", {350}, {0.9}, {}, {}, {}}; }

bool has_note(const EngineeredLink& link, const char* words) {
  for (const std::string& note : link.notes)
    if (note.find(words) != std::string::npos) return true;
  return false;
}

TEST(EngineerLink, CarriesUpToItsReach) {
  const auto link = asked(om3());
  ASSERT_TRUE(link) << describe(link.problem());
  EXPECT_EQ(link->carries, link->reach->value >= 350);
  EngineerQuestion at_reach = om3();
  at_reach.length = *link->reach;
  EXPECT_TRUE(asked(at_reach)->carries);
  at_reach.length.value += 0.01;
  EXPECT_FALSE(asked(at_reach)->carries);
  EXPECT_TRUE(has_note(*link, "Longer than the 300 m"));
}

TEST(EngineerLink, SplitsAddUpToTheLimit) {
  const auto link = asked(om3());
  ASSERT_TRUE(link && link->here);
  EXPECT_NEAR((link->of_the_standard.fibre + link->of_the_standard.connections).value, 2.587, 5e-4);
  EngineerQuestion at_limit = om3();
  at_limit.connections = link->here->connections;
  EXPECT_NEAR(asked(at_limit)->result.margin.value, 0, 1e-9);
}

// SOURCE: a published working-group slide (read): 500 m of OM4 with 1.0 dB, 3.0 dB/km and at most 0.30 nm.
TEST(EngineerLink, OwnFiguresTakeThePlaceOfTheStandards) {
  EngineerQuestion question = {"10GBASE-SR", "OM4", {500}, {1.0}, 3.0, {}, 0.30};
  const auto link = asked(question);
  ASSERT_TRUE(link) << describe(link.problem());
  EXPECT_TRUE(link->carries);
  EXPECT_TRUE(has_note(*link, "rms_width 0.3 nm (in place of 0.29)"));
  EXPECT_TRUE(has_note(*link, "from memory"));
  question.modal_bandwidth_mhz_km = 2000;
  EXPECT_FALSE(asked(question)->carries);
  EXPECT_FALSE(has_note(*asked(question), "from memory"));
}

TEST(EngineerLink, AClosedEyeIsAnAnswerToo) {
  EngineerQuestion question = om3();
  question.length = {20'000};
  const auto link = asked(question);
  ASSERT_TRUE(link);
  EXPECT_FALSE(link->carries);
  EXPECT_TRUE(std::isinf(link->result.margin.value));
  EXPECT_FALSE(link->here);
  EXPECT_NE(engineered_link_json(*link).find("\"margin_db\":null"), std::string::npos);
}

TEST(EngineerLink, RefusesWhatMakesNoSense) {
  for (const double length : {0.0, -1.0, 200'001.0, std::nan("")}) {
    EngineerQuestion question = om3();
    question.length = {length};
    EXPECT_FALSE(asked(question)) << length;
  }
  for (const double loss : {-0.1, 61.0, std::nan("")}) {
    EngineerQuestion question = om3();
    question.connections = {loss};
    EXPECT_FALSE(asked(question)) << loss;
  }
  EngineerQuestion single{"10GBASE-LR", "OS2", {9000}, {2}, {}, 4700.0, {}};
  EXPECT_FALSE(asked(single));
  EngineerQuestion pam4{"400GBASE-DR4", "OS2", {400}, {2}, {}, {}, {}};
  EXPECT_FALSE(asked(pam4));
}

TEST(EngineerLink, CableOfAWiderClassNeedsItsFigure) {
  EngineerQuestion question{"10GBASE-LR", "OS1a", {5000}, {1}, {}, {}, {}};
  const auto refused = asked(question);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.problem().at.file, "--attenuation");
  question.attenuation_db_per_km = 1.0;
  EXPECT_TRUE(asked(question)->carries == (asked(question)->result.margin.value >= 0));
}

}  // namespace
}  // namespace strandbook
