#include "edge/book/book_state.hpp"

#include <gtest/gtest.h>

#include "edge/book/book_test_ground.hpp"
#include "edge/book/history.hpp"
#include "edge/book/recording.hpp"
#include "edge/book/verify.hpp"

namespace strandbook {
namespace {

const Ground ground{"R.", "typed into the wrong row"};

ScheduledStrand strand_named(const std::string& link, const std::string& name, double length,
                             std::size_t row) {
  ScheduledStrand strand;
  strand.link = link;
  strand.strand = name;
  strand.length = Metres{length};
  strand.fibre = FibreCategory::os2;
  strand.at = {"somewhere", "Hall", row, ""};
  return strand;
}

Reading loss_of(std::string_view link, std::string_view strand, double loss, std::uint32_t row) {
  Reading reading;
  reading.link = link;
  reading.strand = strand;
  reading.wavelength = {1310};
  reading.value = loss;
  reading.row = row;
  reading.column = 4;
  return reading;
}

ReadingSet readings_of(std::vector<Reading> rows) {
  ReadingSet set;
  set.files.push_back({"day1.csv", "Hall"});
  set.rows = std::move(rows);
  return set;
}

class Book : public ::testing::Test {
 protected:
  Imported import(const ImportedFile& file, const RowsToAdd& rows) {
    Result<Imported> imported = add_import(*store_, device_, file, rows);
    if (!imported) ADD_FAILURE() << describe(imported.problem());
    return imported ? std::move(*imported) : Imported{};
  }
  Imported import_schedule(const std::string& bytes, const std::vector<ScheduledStrand>& strands) {
    RowsToAdd rows;
    rows.strands = strands;
    return import({"schedule.csv", bytes, ImportPurpose::schedule, "", {}}, rows);
  }
  Imported import_readings(const std::string& bytes, std::vector<Reading> readings,
                           const std::string& choices = "") {
    const ReadingSet set = readings_of(std::move(readings));
    RowsToAdd rows;
    rows.readings = &set;
    return import({"day1.csv", bytes, ImportPurpose::readings, choices, {}}, rows);
  }
  BookState state() {
    Result<BookState> now = current_state(*store_);
    if (!now) ADD_FAILURE() << describe(now.problem());
    return now ? std::move(*now) : BookState{};
  }
  std::vector<HistoryEntry> history_of(std::string_view link, std::string_view strand,
                                       NameRepairs confirmed = 0) {
    Result<std::vector<HistoryEntry>> all = history(*store_, link, strand, confirmed);
    if (!all) ADD_FAILURE() << describe(all.problem());
    return all ? std::move(*all) : std::vector<HistoryEntry>{};
  }
  void TearDown() override {
    const Verification verification = verify(*store_);
    EXPECT_TRUE(verification.holds()) << describe(*verification.bad);
  }

  TestFolder folder_;
  std::unique_ptr<SqliteStore> store_ = new_book(folder_.file("job.book"));
  Device device_ = test_device();
};

TEST_F(Book, TheJobsSettingsAddUp) {
  ASSERT_HOLDS(set_job(*store_, device_, {"North ring", {{"guard", "U"}, {"owner", "harbour"}}}));
  ASSERT_HOLDS(set_job(*store_, device_, {"", {{"guard", "none"}}}));
  const BookState now = state();
  EXPECT_EQ(now.name, "North ring");
  EXPECT_EQ(now.settings, (std::map<std::string, std::string>{{"guard", "none"}, {"owner", "harbour"}}));
}

TEST_F(Book, ScheduleRowsComeBackWithTheirPlaces) {
  import_schedule("s", {strand_named("L1", "01", 120.5, 2), strand_named("L1", "02", 120.5, 3)});
  const BookState now = state();
  ASSERT_EQ(now.schedule.size(), 2U);
  EXPECT_EQ(now.schedule[1].strand, "02");
  EXPECT_EQ(now.schedule[1].at, (Place{"schedule.csv", "Hall", 3, ""}));
  EXPECT_TRUE(*find_fact(*store_, now.schedule_facts[1]));
}

class MixedFile : public Book {
 protected:
  /// A readings file with a reference, a reading and a row that could not be read.
  BookState after_import() {
    Reference reference;
    reference.id = "R1";
    reference.wavelength = {1310};
    reference.power = {-20.03};
    reference.at = {"x", "", 2, "power"};
    const ReadingSet readings = readings_of({loss_of("L1", "01", 0.1 + 0.2, 7)});
    const Problem unread{{"x", "Hall", 9, "loss"}, "O,35", "dB", "letter O?"};
    const RowsToAdd rows{
        .references = std::span(&reference, 1), .readings = &readings, .unread = std::span(&unread, 1)};
    import({"day1.csv",
            "bytes",
            ImportPurpose::readings,
            "",
            {
              { "day1.csv",
                "",
                "losses positive" }
            }},
           rows);
    return state();
  }
};

TEST_F(MixedFile, RowsComeBackWithTheirPlaces) {
  const BookState now = after_import();
  EXPECT_EQ(now.references.at(0).power.value, -20.03);
  EXPECT_EQ(now.references.at(0).at, (Place{"day1.csv", "", 2, "power"}));
  EXPECT_EQ(now.readings.rows.at(0).value, 0.1 + 0.2);
  EXPECT_EQ(now.readings.place_of(now.readings.rows[0]), (Place{"day1.csv", "Hall", 7, "D"}));
  EXPECT_EQ(describe(now.unread.at(0)),
            "day1.csv, sheet Hall, row 9, column loss: found O,35; expected dB. letter O?");
}

TEST_F(MixedFile, RowsKnowTheirFactsAndTheImportItsBytes) {
  const BookState now = after_import();
  EXPECT_EQ(now.imports.at(0).value.notes.at(0).text, "losses positive");
  EXPECT_EQ(**store_->file(now.imports[0].value.hash), "bytes");
  for (const Uuid& fact : {now.reference_facts.at(0), now.reading_facts.at(0), now.unread_facts.at(0)})
    EXPECT_TRUE(*find_fact(*store_, fact));
}

TEST_F(Book, ChoicesAndRemarksComeBack) {
  RuleChoice choice;
  choice.rule = "iso-14763-3-2024";
  choice.guard = GuardBand::expanded_uncertainty;
  ASSERT_HOLDS(choose_rule(*store_, device_, choice));
  ASSERT_HOLDS(add_remark(*store_, device_, {FactKind::note, "door 4 locked", "R.", {"L1", "01"}, {}}));
  const BookState now = state();
  EXPECT_EQ(now.rule_choices.at(0).value, choice);
  EXPECT_EQ(now.remarks.at(0).value.text, "door 4 locked");
}

TEST_F(Book, TheSameFileAgainAddsNothing) {
  const Imported first = import_readings("bytes", {loss_of("L", "1", 0.3, 2)});
  const std::size_t facts = store_->counts()->facts;
  const Imported again = import_readings("bytes", {loss_of("L", "1", 0.3, 2)});
  EXPECT_EQ(again.outcome, ImportOutcome::already_in_book);
  EXPECT_EQ(again.import, first.import);
  EXPECT_EQ(again.facts, 0U);
  EXPECT_NE(again.note.find("already in the book"), std::string::npos);
  EXPECT_EQ(store_->counts()->facts, facts);
}

TEST_F(Book, OtherBytesOfTheSameNameAreAnotherFile) {
  import_readings("bytes", {loss_of("L", "1", 0.3, 2)});
  EXPECT_EQ(import_readings("more bytes", {loss_of("L", "1", 0.4, 2)}).outcome, ImportOutcome::added);
  EXPECT_EQ(state().readings.rows.size(), 2U);
}

TEST_F(Book, TheSameFileUnderstoodOtherwiseTakesThePlaceOfTheEarlierReading) {
  import_readings("bytes", {loss_of("L", "1", -0.3, 2)}, "as written");
  const Imported turned = import_readings("bytes", {loss_of("L", "1", 0.3, 2)}, "change of level");
  EXPECT_EQ(turned.outcome, ImportOutcome::replaced_earlier);
  BookState now = state();
  ASSERT_EQ(now.readings.rows.size(), 1U);
  EXPECT_EQ(now.readings.rows[0].value, 0.3);
  EXPECT_EQ(now.imports.size(), 1U);
  EXPECT_EQ(now.withdrawn, 2U);
  // And back: the first understanding no longer counts, so it is written anew.
  const Imported back = import_readings("bytes", {loss_of("L", "1", -0.3, 2)}, "as written");
  EXPECT_EQ(back.outcome, ImportOutcome::replaced_earlier);
  now = state();
  ASSERT_EQ(now.readings.rows.size(), 1U);
  EXPECT_EQ(now.readings.rows[0].value, -0.3);
  const std::vector<HistoryEntry> past = history_of("L", "1");
  ASSERT_EQ(past.size(), 3U);
  EXPECT_EQ(past[0].standing, FactStanding::withdrawn_with_import);
  EXPECT_EQ(past[1].standing, FactStanding::withdrawn_with_import);
  EXPECT_EQ(past[2].standing, FactStanding::counts);
}

TEST_F(Book, OneFileMayServeTwoPurposes) {
  import_readings("bytes", {loss_of("L", "1", 0.3, 2)});
  EXPECT_EQ(import({"day1.csv", "bytes", ImportPurpose::references, "", {}}, {}).outcome,
            ImportOutcome::added);
  EXPECT_EQ(state().readings.rows.size(), 1U);
}

TEST_F(Book, ALaterScheduleRowOfAStrandCountsInThePlaceOfTheFirst) {
  import_schedule("a", {strand_named("L", "1", 100, 2), strand_named("L", "2", 100, 3)});
  import_schedule(
      "b", {strand_named("L", "1", 150, 2), strand_named("L", "2", 100, 3), strand_named("L", "3", 9, 4)});
  const BookState now = state();
  ASSERT_EQ(now.schedule.size(), 3U);
  EXPECT_EQ(now.schedule[0].length, Metres{150});
  EXPECT_EQ(now.schedule[2].strand, "3");
  ASSERT_EQ(now.repeated.size(), 1U);
  EXPECT_EQ(now.repeated[0].found, "strand L/1 again, with other values");
  EXPECT_EQ((*find_fact(*store_, now.schedule_facts[0]))->sequence, 5);
}

TEST_F(Book, WithinOneScheduleTheFirstRowOfAStrandCounts) {
  import_schedule("a", {strand_named("L", "1", 100, 2), strand_named("L", "1", 150, 3)});
  const BookState now = state();
  ASSERT_EQ(now.schedule.size(), 1U);
  EXPECT_EQ(now.schedule[0].length, Metres{100});
  ASSERT_EQ(now.repeated.size(), 1U);
  EXPECT_EQ(now.repeated[0].at.row, 3U);
}

TEST_F(Book, ACorrectedReadingShowsTheNewValuesAndKeepsTheOldInItsHistory) {
  import_schedule("s", {strand_named("L", "1", 100, 2)});
  import_readings("bytes", {loss_of("L", "1", 3.5, 2)});
  BookState now = state();
  Reading right = now.readings.rows[0];
  right.value = 0.35;
  const Uuid reading = now.reading_facts[0];
  const Result<Uuid> correction = correct_fact(*store_, device_, reading, right, ground);
  ASSERT_HOLDS(correction);
  now = state();
  ASSERT_EQ(now.readings.rows.size(), 1U);
  EXPECT_EQ(now.readings.rows[0].value, 0.35);
  EXPECT_EQ(now.readings.place_of(now.readings.rows[0]), (Place{"day1.csv", "Hall", 2, "D"}));
  EXPECT_EQ(now.reading_facts[0], reading);
  EXPECT_EQ(now.corrected, 1U);
  const std::vector<HistoryEntry> past = history_of("L", "1");
  ASSERT_EQ(past.size(), 3U);
  EXPECT_EQ(past[1].summary, "reading: loss 3.5 dB, 1310 nm (day1.csv, sheet Hall, row 2)");
  EXPECT_EQ(past[1].standing, FactStanding::corrected);
  EXPECT_EQ(past[1].corrected_by, *correction);
  EXPECT_EQ(past[2].corrects, reading);
  EXPECT_EQ(past[2].person, ground.person);
  EXPECT_EQ(past[2].reason, ground.reason);
}

TEST_F(Book, TheLatestCorrectionCountsUntilItIsUndone) {
  import_readings("bytes", {loss_of("L", "1", 1, 2)});
  const Uuid reading = state().reading_facts[0];
  const Result<Uuid> second = correct_fact(*store_, device_, reading, loss_of("L", "1", 2, 2), ground);
  ASSERT_HOLDS(second);
  // Named by its correction: it is the reading that is meant.
  const Result<Uuid> third = correct_fact(*store_, device_, *second, loss_of("L", "1", 3, 2), ground);
  ASSERT_HOLDS(third);
  EXPECT_EQ(state().readings.rows.at(0).value, 3);
  const Result<Uuid> undo = withdraw_fact(*store_, device_, *third, ground);
  ASSERT_HOLDS(undo);
  EXPECT_EQ(state().readings.rows.at(0).value, 2);
  ASSERT_HOLDS(withdraw_fact(*store_, device_, *second, ground));
  EXPECT_EQ(state().readings.rows.at(0).value, 1);
  ASSERT_HOLDS(withdraw_fact(*store_, device_, *undo, ground));
  EXPECT_EQ(state().readings.rows.at(0).value, 3);
  EXPECT_EQ(history_of("L", "1").size(), 6U);
}

TEST_F(Book, AWithdrawnReadingIsOutOfTheStateAndInTheHistory) {
  import_readings("bytes", {loss_of("L", "1", 1, 2), loss_of("L", "1", 2, 3)});
  const Uuid reading = state().reading_facts[0];
  ASSERT_HOLDS(withdraw_fact(*store_, device_, reading, ground));
  const BookState now = state();
  ASSERT_EQ(now.readings.rows.size(), 1U);
  EXPECT_EQ(now.readings.rows[0].value, 2);
  EXPECT_EQ(now.withdrawn, 1U);
  const std::vector<HistoryEntry> past = history_of("L", "1");
  ASSERT_EQ(past.size(), 3U);
  EXPECT_EQ(past[0].standing, FactStanding::withdrawn);
  EXPECT_FALSE(withdraw_fact(*store_, device_, reading, ground));
}

TEST_F(Book, AReadingMovedToAnotherStrandIsInTheHistoryOfBoth) {
  import_schedule("s", {strand_named("L", "1", 100, 2), strand_named("L", "2", 100, 3)});
  import_readings("bytes", {loss_of("L", "1", 1, 2)});
  ASSERT_HOLDS(correct_fact(*store_, device_, state().reading_facts[0], loss_of("L", "2", 1, 2), ground));
  EXPECT_EQ(state().readings.rows.at(0).strand, "2");
  EXPECT_EQ(history_of("L", "1").size(), 3U);
  EXPECT_EQ(history_of("L", "2").size(), 3U);
}

TEST_F(Book, HistoryFollowsNamesAsReadingsAreMatched) {
  import_schedule("s", {strand_named("L-A", "01", 100, 2), strand_named("L-A", "02", 100, 3)});
  import_readings("bytes", {loss_of("L-A", "01", 1, 2), loss_of("l-a", "01", 1, 3), loss_of("", "01", 1, 4),
                            loss_of("L-A", "1", 1, 5), loss_of("L-A", "02", 1, 6)});
  EXPECT_EQ(history_of("L-A", "01").size(), 4U);
  EXPECT_EQ(history_of("L-A", "01", static_cast<NameRepairs>(NameRepair::padding)).size(), 5U);
  EXPECT_TRUE(history_of("L-A", "77").empty());
}

TEST_F(Book, WithdrawingAnImportTakesItsRowsWithIt) {
  const Imported schedule =
      import_schedule("old", {strand_named("L", "1", 100, 2), strand_named("L", "9", 1, 3)});
  import_schedule("new", {strand_named("L", "1", 150, 2)});
  ASSERT_HOLDS(withdraw_fact(*store_, device_, schedule.import, ground));
  const BookState now = state();
  ASSERT_EQ(now.schedule.size(), 1U);
  EXPECT_EQ(now.schedule[0].length, Metres{150});
  EXPECT_TRUE(now.repeated.empty());
  EXPECT_EQ(import_schedule("old", {strand_named("L", "9", 1, 3)}).outcome, ImportOutcome::added);
}

TEST_F(Book, CorrectionsThatMeanNothingAreRefused) {
  import_schedule("s", {strand_named("L", "1", 100, 2)});
  const Uuid strand = state().schedule_facts[0];
  const std::size_t facts = store_->counts()->facts;
  const auto refusal = [&](const Uuid& fact, const NewValues& values, const Ground& why) {
    const Result<Uuid> done = correct_fact(*store_, device_, fact, values, why);
    return done ? "" : done.problem().found;
  };
  EXPECT_EQ(refusal(strand, strand_named("L", "1", 1, 2), {"", "x"}), "no person");
  EXPECT_EQ(refusal(strand, strand_named("L", "1", 1, 2), {"x", ""}), "no reason");
  EXPECT_EQ(refusal(strand, loss_of("L", "1", 1, 2), ground), "new values of a reading");
  EXPECT_EQ(refusal(Uuid{}, loss_of("L", "1", 1, 2), ground), "no fact " + text_of(Uuid{}));
  EXPECT_EQ(store_->counts()->facts, facts);
}

TEST_F(Book, WithdrawingWhatIsNotThereIsRefused) {
  const Result<Uuid> done = withdraw_fact(*store_, device_, Uuid{}, ground);
  ASSERT_FALSE(done);
  EXPECT_EQ(store_->counts()->facts, 0U);
}

TEST_F(Book, TypedRowsNeedNoFile) {
  ReadingSet typed = readings_of({loss_of("L", "1", 0.3, 0)});
  typed.files[0] = {"keypad", ""};
  RowsToAdd rows;
  rows.readings = &typed;
  ASSERT_HOLDS(add_rows(*store_, device_, rows));
  const BookState now = state();
  ASSERT_EQ(now.readings.rows.size(), 1U);
  EXPECT_EQ(now.readings.place_of(now.readings.rows[0]).file, "keypad");
}

TEST_F(Book, ReadingALargeBookCanBeCancelled) {
  std::vector<ScheduledStrand> strands;
  for (std::size_t i = 0; i < 5000; ++i) strands.push_back(strand_named("L", std::to_string(i), 10, i + 1));
  ASSERT_HOLDS(add_rows(*store_, device_, {strands, {}, nullptr, {}, {}}));
  EXPECT_FALSE(current_state(*store_, [](double) { return false; }));
  const Result<BookState> whole = current_state(*store_, [](double) { return true; });
  ASSERT_HOLDS(whole);
  EXPECT_EQ(whole->schedule.size(), 5000U);
}

TEST_F(Book, TextsOutliveTheStore) {
  import_readings("bytes", {loss_of("a link with a long name", "strand 000001", 0.3, 2)});
  const BookState now = state();
  store_.reset();
  EXPECT_EQ(now.readings.rows[0].link, "a link with a long name");
  store_ = reopened(folder_.file("job.book"));
}

}  // namespace
}  // namespace strandbook
