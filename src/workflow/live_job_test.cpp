#include "workflow/live_job.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <cstdlib>
#include <thread>

#include "edge/book/book_test_ground.hpp"

namespace strandbook {
namespace {

const Ground ground{"K.", "typed wrongly"};

Reading reading_of(const char* strand, double dbm, std::int64_t second) {
  Reading row;
  row.link = "BB1";
  row.strand = strand;
  row.wavelength = {1310};
  row.kind = ReadingKind::power;
  row.value = dbm;
  row.time = Instant{second, true, true, true};
  row.has_time = true;
  return row;
}

Reference reference_of(double dbm, std::int64_t second) {
  Reference row;
  row.wavelength = {1310};
  row.power = {dbm};
  row.method = ReferenceMethod::one_cord;
  row.time = Instant{second, true, true, true};
  return row;
}

/// A book of four strands with a limit of 0.5 dB each.
class LiveJobTest : public testing::Test {
 protected:
  LiveJobTest() {
    ::setenv("STRANDBOOK_DEVICE", folder_.file("device").c_str(), 1);
    Result<OpenBook> book = create_book(path(), "Hall");
    EXPECT_TRUE(book);
    std::vector<ScheduledStrand> strands(4);
    for (std::size_t i = 0; i < strands.size(); ++i) {
      strands[i].link = "BB1";
      strands[i].strand = "0" + std::to_string(i + 1);
      strands[i].fixed_limit = Decibels{0.5};
      strands[i].wavelengths = {{1310}};
    }
    EXPECT_TRUE(add_rows(*book->store, book->device, {strands}));
    job_ = opened();
  }
  std::string path() const { return folder_.file("hall.book"); }
  std::unique_ptr<LiveJob> opened() const {
    Result<std::unique_ptr<LiveJob>> job = LiveJob::open(path());
    if (!job) ADD_FAILURE() << describe(job.problem());
    return job ? std::move(*job) : nullptr;
  }
  /// "pass fail ...", one word per test.
  static std::string outcomes(const LiveJob& job) {
    std::string words;
    job.look([&](const JobView& view) {
      for (const JudgedTest& test : view.judgement->all().tests)
        (words += words.empty() ? "" : " ") += text_of(test.outcome);
    });
    return words;
  }
  void expect_as_read_anew() const { EXPECT_EQ(outcomes(*job_), outcomes(*opened())); }

  TestFolder folder_;
  std::unique_ptr<LiveJob> job_;
};

TEST_F(LiveJobTest, WhatIsRecordedCountsAtOnceAndIsInTheBook) {
  ASSERT_TRUE(job_->record("e1", reference_of(-20, 1000)));
  ASSERT_TRUE(job_->record("e2", reading_of("01", -20.3, 2000)));
  ASSERT_TRUE(job_->record("e3", reading_of("02", -21, 2000)));
  EXPECT_EQ(outcomes(*job_), "pass fail not tested not tested");
  expect_as_read_anew();
}

TEST_F(LiveJobTest, TheSameEntrySentAgainIsRecordedOnce) {
  ASSERT_TRUE(job_->record("e1", reference_of(-20, 1000)));
  const auto first = job_->record("e2", reading_of("01", -20.3, 2000));
  const auto again = job_->record("e2", reading_of("01", -20.3, 2000));
  ASSERT_TRUE(first && again);
  EXPECT_TRUE(again->already);
  EXPECT_EQ(again->fact, first->fact);
  // Also by a program that starts anew, and after the reading was withdrawn.
  ASSERT_TRUE(job_->withdraw(text_of(first->fact), ground));
  job_.reset();
  job_ = opened();
  EXPECT_TRUE(job_->record("e2", reading_of("01", -20.3, 2000))->already);
  EXPECT_EQ(outcomes(*job_), "not tested not tested not tested not tested");
}

TEST_F(LiveJobTest, CorrectionsAndWithdrawalsCountAtOnce) {
  const auto reference = job_->record("e1", reference_of(-20, 1000));
  const auto one = job_->record("e2", reading_of("01", -21.3, 2000));
  const auto two = job_->record("e3", reading_of("02", -20.2, 2000));
  ASSERT_TRUE(reference && one && two);
  ASSERT_TRUE(job_->correct(text_of(one->fact), {{"power_dbm", "-20.3"}}, ground));
  EXPECT_EQ(outcomes(*job_), "pass pass not tested not tested");
  expect_as_read_anew();
  ASSERT_TRUE(job_->correct(text_of(two->fact), {{"strand", "03"}}, ground));
  EXPECT_EQ(outcomes(*job_), "pass not tested pass not tested");
  expect_as_read_anew();
  ASSERT_TRUE(job_->withdraw(text_of(one->fact), ground));
  EXPECT_EQ(outcomes(*job_), "not tested not tested pass not tested");
  expect_as_read_anew();
  ASSERT_TRUE(job_->withdraw(text_of(reference->fact), ground));
  EXPECT_EQ(outcomes(*job_), "not tested not tested invalid not tested");
  expect_as_read_anew();
  EXPECT_FALSE(job_->withdraw(text_of(one->fact), ground));
  EXPECT_FALSE(job_->correct(text_of(one->fact), {{"loss_db", "1"}}, ground));
}

TEST_F(LiveJobTest, AReadingOfAnUnknownStrandIsKept) {
  ASSERT_TRUE(job_->record("e1", reading_of("77", -20.3, 2000)));
  job_->look([](const JobView& view) { EXPECT_EQ(view.judgement->all().unmatched.size(), 1u); });
  expect_as_read_anew();
}

TEST_F(LiveJobTest, WhatAnotherProgramWritesIsSeen) {
  std::unique_ptr<LiveJob> other = opened();
  std::vector<std::uint64_t> told;
  job_->on_change([&](const JobChange& change) { told.push_back(change.revision); });
  EXPECT_FALSE(*job_->refresh());
  ASSERT_TRUE(other->record("e1", reference_of(-20, 1000)));
  ASSERT_TRUE(other->record("e2", reading_of("01", -20.3, 2000)));
  EXPECT_TRUE(*job_->refresh());
  EXPECT_FALSE(*job_->refresh());
  EXPECT_EQ(outcomes(*job_), outcomes(*other));
  EXPECT_EQ(told.size(), 1u);
}

/// The facts of the readings in the order that is held.
std::vector<Uuid> readings_in(const LiveJob& job) {
  std::vector<Uuid> facts;
  job.look([&](const JobView& view) { facts = view.reading_facts; });
  return facts;
}

TEST_F(LiveJobTest, ReadingsThatAnotherProgramTypedAreTakenInByThemselves) {
  ASSERT_TRUE(job_->record("e1", reference_of(-20, 1000)));
  std::unique_ptr<LiveJob> other = opened();
  std::vector<JobChange> told;
  job_->on_change([&](const JobChange& change) { told.push_back(change); });
  ASSERT_TRUE(other->record("e2", reading_of("01", -20.3, 2000)));
  ASSERT_TRUE(other->record("e3", reading_of("02", -21.3, 2000)));
  EXPECT_TRUE(*job_->refresh());
  ASSERT_EQ(told.size(), 1u);
  EXPECT_FALSE(told[0].tests.whole);
  EXPECT_EQ(told[0].tests.strands, (std::vector<std::uint32_t>{0, 1}));
  EXPECT_EQ(outcomes(*job_), "pass fail not tested not tested");
  expect_as_read_anew();
  EXPECT_FALSE(*job_->refresh());
}

TEST_F(LiveJobTest, ReadingsTypedInTurnsStandInOrderOfTime) {
  ASSERT_TRUE(job_->record("e0", reference_of(-20, 1000)));
  std::unique_ptr<LiveJob> other = opened();
  const char* strands[] = {"01", "02", "03", "01", "04", "02"};
  for (int i = 0; i < 6; ++i) {
    LiveJob& writer = i % 2 == 0 ? *job_ : *other;
    ASSERT_TRUE(writer.record("e" + std::to_string(i + 1), reading_of(strands[i], -20.2 - 0.1 * i, 2000)));
  }
  bool whole = false;
  job_->on_change([&](const JobChange& change) { whole = whole || change.tests.whole; });
  EXPECT_TRUE(*job_->refresh());
  EXPECT_TRUE(*other->refresh());
  EXPECT_FALSE(whole);
  EXPECT_EQ(readings_in(*job_), readings_in(*opened()));
  EXPECT_EQ(readings_in(*other), readings_in(*opened()));
  expect_as_read_anew();
  // A correction made here is known here; one made there is not.
  ASSERT_TRUE(job_->record("e8", reading_of("03", -20.4, 2000)));
  ASSERT_TRUE(job_->correct(text_of(readings_in(*job_).front()), {{"power_dbm", "-20.1"}}, ground));
  ASSERT_TRUE(other->refresh());
  ASSERT_TRUE(other->record("e9", reading_of("04", -20.1, 3000)));
  EXPECT_TRUE(*job_->refresh());
  EXPECT_FALSE(whole);
  expect_as_read_anew();
  // Sent again to the other service, nothing is recorded anew.
  EXPECT_TRUE(other->record("e1", reading_of("01", -20.2, 2000))->already);
}

TEST_F(LiveJobTest, WhateverElseAnotherProgramWroteIsReadAnew) {
  ASSERT_TRUE(job_->record("e1", reference_of(-20, 1000)));
  const auto one = job_->record("e2", reading_of("01", -20.3, 2000));
  std::unique_ptr<LiveJob> other = opened();
  bool whole = false;
  job_->on_change([&](const JobChange& change) { whole = change.tests.whole; });
  ASSERT_TRUE(other->record("e3", reading_of("02", -20.3, 2000)));
  ASSERT_TRUE(other->withdraw(text_of(one->fact), ground));
  EXPECT_TRUE(*job_->refresh());
  EXPECT_TRUE(whole);
  EXPECT_EQ(outcomes(*job_), "not tested pass not tested not tested");
  expect_as_read_anew();
}

TEST_F(LiveJobTest, WithoutARuleTheRowsAreThereAndTheProblemSays) {
  std::vector<ScheduledStrand> strand(1);
  strand[0].link = "BB2";
  strand[0].strand = "01";
  {
    Result<OpenBook> book = strandbook::open_book(path());
    ASSERT_TRUE(add_rows(*book->store, book->device, {strand}));
  }
  ASSERT_TRUE(job_->refresh());
  job_->look([](const JobView& view) {
    EXPECT_EQ(view.judgement, nullptr);
    EXPECT_TRUE(view.problem);
    EXPECT_EQ(view.schedule.size(), 5u);
  });
  ASSERT_TRUE(job_->record("e1", reading_of("01", -20.3, 2000)));
  JobSettings settings;
  settings.fixed_limit = Decibels{0.4};
  ASSERT_TRUE(job_->settle_rule(settings, ground));
  job_->look([](const JobView& view) {
    ASSERT_NE(view.judgement, nullptr);
    EXPECT_EQ(view.judgement->all().readings.rows.size(), 1u);
  });
}

TEST_F(LiveJobTest, CordChecksAndRemarksStayInTheBook) {
  ASSERT_TRUE(job_->record("e1", CordCheck{"pair 3", {1310}, {0.31}, {0.94}, {0.5}, "K.", {}}));
  ASSERT_TRUE(job_->remark({FactKind::acknowledgement, "seen", "K.", {}, {}}));
  opened()->look([](const JobView& view) {
    ASSERT_EQ(view.cord_checks.size(), 1u);
    EXPECT_FALSE(holds(view.cord_checks.front().value));
    EXPECT_NEAR(view.cord_checks.front().value.reversed.value, 0.94, 1e-12);
    EXPECT_EQ(view.remarks.size(), 1u);
  });
}

TEST_F(LiveJobTest, ManyAtOnceLoseNothing) {
  ASSERT_TRUE(job_->record("e0", reference_of(-20, 1000)));
  std::atomic<int> looked = 0;
  std::vector<std::thread> crews;
  for (int crew = 0; crew < 4; ++crew)
    crews.emplace_back([&, crew] {
      for (int i = 0; i < 25; ++i) {
        const std::string entry = std::to_string(crew) + "-" + std::to_string(i);
        EXPECT_TRUE(job_->record(entry, reading_of(i % 2 == 0 ? "01" : "02", -20.3, 2000 + i)));
        job_->look_at_findings([&](const JobView&, const Findings&) { ++looked; });
      }
    });
  for (std::thread& crew : crews) crew.join();
  EXPECT_EQ(looked, 100);
  job_->look([](const JobView& view) { EXPECT_EQ(view.reading_facts.size(), 100u); });
  expect_as_read_anew();
}

}  // namespace
}  // namespace strandbook
