#include "edge/book/sqlite_store.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <fstream>

#include "edge/book/book_test_ground.hpp"
#include "edge/book/verify.hpp"

namespace strandbook {
namespace {

std::vector<FactDraft> notes(std::size_t number) {
  std::vector<FactDraft> drafts;
  for (std::size_t i = 0; i < number; ++i) drafts.push_back(note_draft("note " + std::to_string(i)));
  return drafts;
}

std::string found_on_opening(const std::string& path) {
  const auto store = SqliteStore::open(path, {system_surroundings(), std::chrono::milliseconds(50)});
  return store ? "" : store.problem().found;
}

/// What an outside program gets to hear when it tries this on the book.
std::string outside(const std::string& path, const char* sql) {
  const Result<SqliteConnection> connection =
      SqliteConnection::open(path, SqliteConnection::Mode::open_existing, std::chrono::milliseconds(100));
  const Result<Done> done = connection->run(sql);
  return done ? "" : done.problem().found;
}

TEST(SqliteStore, AnEmptyBookHoldsNothingAndVerifies) {
  const TestFolder folder;
  const auto store = new_book(folder.file("job.book"));
  EXPECT_EQ(store->counts()->facts, 0U);
  EXPECT_TRUE(facts_of(*store, {})->empty());
  EXPECT_TRUE(verify(*store).holds());
}

class ThreeBatches : public ::testing::Test {
 protected:
  void SetUp() override {
    EXPECT_HOLDS(append(*store_, test_device(1), notes(3)));
    EXPECT_HOLDS(append(*store_, test_device(2), notes(2)));
    EXPECT_HOLDS(append(*store_, test_device(1), notes(1)));
  }
  std::vector<Fact> facts(FactOrder order) const {
    Result<std::vector<Fact>> all = facts_of(*store_, {.order = order});
    return all ? std::move(*all) : std::vector<Fact>{};
  }
  TestFolder folder_;
  std::unique_ptr<SqliteStore> store_ = new_book(folder_.file("job.book"));
};

TEST_F(ThreeBatches, ComeBackInOrderOfTime) {
  const std::vector<Fact> all = facts(FactOrder::time);
  ASSERT_EQ(all.size(), 6U);
  EXPECT_TRUE(
      std::is_sorted(all.begin(), all.end(), [](const Fact& a, const Fact& b) { return a.id < b.id; }));
  EXPECT_EQ(all[5].sequence, 4);
  EXPECT_EQ(all[5].previous, all[2].hash);
}

TEST_F(ThreeBatches, ComeBackChainByChain) {
  const std::vector<Fact> all = facts(FactOrder::chain);
  ASSERT_EQ(all.size(), 6U);
  EXPECT_EQ(all[3].sequence, 4);
  EXPECT_EQ(all[4].device, test_device(2).id);
  EXPECT_EQ(all[4].sequence, 1);
  EXPECT_EQ(all[4].previous, Sha256{});
  EXPECT_TRUE(verify(*store_).holds());
}

TEST(SqliteStore, ABookReopenedGoesOnWithItsChainEvenWhenTheClockWasSetBack) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(append(*new_book(path), test_device(), notes(2)));
  const auto store = SqliteStore::open(path, {steady_surroundings(1000)});
  ASSERT_HOLDS(store);
  ASSERT_HOLDS(append(**store, test_device(), notes(1)));
  const Result<std::vector<Fact>> facts = facts_of(**store, {});
  ASSERT_HOLDS(facts);
  EXPECT_EQ(facts->back().sequence, 3);
  EXPECT_EQ(facts->back().time_ms, 2000);
  EXPECT_TRUE(verify(**store).holds());
}

TEST(SqliteStore, QueriesFindBySubjectTargetKindAndId) {
  const TestFolder folder;
  const auto store = new_book(folder.file("job.book"));
  const Uuid target = *parse_uuid("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  const std::vector<FactDraft> drafts = {{FactKind::reading, "{}", {"L", "01"}, {}},
                                         {FactKind::reading, "{}", {"L", "1"}, {}},
                                         {FactKind::correction, "{}", {"L", "01"}, target},
                                         {FactKind::note, "{}", {}, {}}};
  ASSERT_HOLDS(append(*store, test_device(), drafts));
  FactQuery query;
  query.subject = Subject{"L", "01"};
  EXPECT_EQ(facts_of(*store, query)->size(), 2U);
  query.kind = FactKind::reading;
  EXPECT_EQ(facts_of(*store, query)->size(), 1U);
  FactQuery by_target;
  by_target.target = target;
  const Result<std::vector<Fact>> corrections = facts_of(*store, by_target);
  ASSERT_EQ(corrections->size(), 1U);
  EXPECT_EQ(corrections->front().target, target);
  EXPECT_TRUE(*find_fact(*store, corrections->front().id));
  EXPECT_FALSE(*find_fact(*store, target));
  EXPECT_EQ(store->subjects()->size(), 2U);
  EXPECT_EQ(store->counts()->by_kind[static_cast<std::size_t>(FactKind::reading)], 2U);
}

TEST(SqliteStore, FilesAreKeptOnceAndComeBackByteForByte) {
  const TestFolder folder;
  const auto store = new_book(folder.file("job.book"));
  const std::string bytes("a\0b\xff\n", 5);
  const std::vector<FileToKeep> files = {{sha256(bytes), bytes}, {sha256(""), ""}};
  EXPECT_HOLDS(store->append(test_device(), batch_of(note_draft("file"), files)));
  EXPECT_HOLDS(store->append(test_device(), batch_of(note_draft("again"), files)));
  EXPECT_EQ(**store->file(sha256(bytes)), bytes);
  EXPECT_EQ(**store->file(sha256("")), "");
  EXPECT_FALSE(*store->file(sha256("other")));
  EXPECT_EQ(store->counts()->files, 2U);
}

void expect_nothing_in(const Store& store) {
  EXPECT_EQ(store.counts()->facts, 0U);
  EXPECT_EQ(store.counts()->files, 0U);
  EXPECT_EQ(store.counts()->devices, 0U);
}

TEST(SqliteStore, ABatchThatFailsHalfwayLeavesNothing) {
  const TestFolder folder;
  const auto store = new_book(folder.file("job.book"));
  std::size_t given = 0;
  const Batch batch{{{sha256("x"), "x"}}, [&given](const Uuid&) -> Result<std::optional<FactDraft>> {
                      if (++given > 5) return Problem{{}, "a bad row", "", ""};
                      return std::optional<FactDraft>{note_draft("n")};
                    }};
  const Result<Appended> refused = store->append(test_device(), batch);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.problem().found, "a bad row");
  expect_nothing_in(*store);
  EXPECT_HOLDS(append(*store, test_device(), notes(1)));
}

TEST(SqliteStore, AnExceptionWithinABatchLeavesNothingAndStaysInside) {
  const TestFolder folder;
  const auto store = new_book(folder.file("job.book"));
  const Batch batch{{}, [](const Uuid&) -> Result<std::optional<FactDraft>> { throw std::bad_alloc(); }};
  EXPECT_FALSE(store->append(test_device(), batch));
  expect_nothing_in(*store);
  EXPECT_HOLDS(append(*store, test_device(), notes(1)));
}

constexpr auto forbidden = std::to_array<const char*>({
    "UPDATE facts SET body = 'x'",
    "DELETE FROM facts",
    "UPDATE files SET bytes = x'00'",
    "DELETE FROM files",
    "UPDATE devices SET id = zeroblob(16)",
    "DELETE FROM devices",
    "UPDATE subjects SET link = 'M'",
    "DELETE FROM subjects",
    "INSERT OR REPLACE INTO files SELECT row, sha256, x'00' FROM files",
    R"(INSERT OR REPLACE INTO facts
       SELECT row, id, device, sequence, time_ms, kind, subject, target, 'x', previous, hash FROM facts)",
    R"(INSERT OR REPLACE INTO facts
       SELECT NULL, zeroblob(16), device, sequence, time_ms, kind, subject, target, 'x', previous, hash FROM facts)",
});

TEST(SqliteStore, FactsAndFilesCannotBeChangedOrDeletedFromOutside) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  const FactDraft named{FactKind::note, R"({"link":"L","strand":"1"})", {"L", "1"}, {}};
  ASSERT_HOLDS(new_book(path)->append(test_device(), batch_of(named, {{sha256("x"), "x"}})));
  for (const char* sql : forbidden)
    EXPECT_NE(outside(path, sql).find(" are never "), std::string::npos) << sql;
  EXPECT_TRUE(verify(*reopened(path)).holds());
}

TEST(SqliteStore, CreateRefusesANameThatIsTaken) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(append(*new_book(path), test_device(), notes(1)));
  const auto again = SqliteStore::create(path, {system_surroundings()});
  ASSERT_FALSE(again);
  EXPECT_NE(describe(again.problem()).find("another name"), std::string::npos);
  EXPECT_EQ(reopened(path)->counts()->facts, 1U);
}

TEST(SqliteStore, CreateLeavesNothingButTheBook) {
  const TestFolder folder;
  new_book(folder.file("job.book")).reset();
  EXPECT_EQ(folder.entries(), 1U);
}

TEST(SqliteStore, SaysWhyABookCannotBeMadeThere) {
  for (const char* path : {"/proc/strandbook/job.book", "/nowhere/at/all/job.book", ""}) {
    const auto store = SqliteStore::create(path, {system_surroundings()});
    ASSERT_FALSE(store) << path;
    EXPECT_EQ(store.problem().at.file, path);
    EXPECT_FALSE(store.problem().advice.empty());
  }
}

TEST(SqliteStore, OpenRefusesWhatIsNoBook) {
  const TestFolder folder;
  EXPECT_EQ(found_on_opening(folder.file("missing.book")), "no such file");
  std::ofstream(folder.file("empty")).flush();
  EXPECT_EQ(found_on_opening(folder.file("empty")), "a file that is not a strandbook book");
  std::ofstream(folder.file("text")) << std::string(5000, 'x');
  EXPECT_EQ(found_on_opening(folder.file("text")), "a file that is not a strandbook book");
  const Result<SqliteConnection> other = SqliteConnection::open(
      folder.file("other.db"), SqliteConnection::Mode::create, std::chrono::milliseconds(100));
  ASSERT_HOLDS(other);
  ASSERT_HOLDS(other->run("CREATE TABLE t (a); INSERT INTO t VALUES (1)"));
  EXPECT_EQ(found_on_opening(folder.file("other.db")), "a file that is not a strandbook book");
  EXPECT_NE(found_on_opening(folder.file(".")), "");
}

TEST(SqliteStore, OpenLeavesAForeignFileUntouched) {
  const TestFolder folder;
  const std::string path = folder.file("other.db");
  ASSERT_HOLDS(SqliteConnection::open(path, SqliteConnection::Mode::create, std::chrono::milliseconds(100))
                   ->run("CREATE TABLE t (a)"));
  const auto read = [&path] {
    std::ifstream file(path, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(file), {});
  };
  const std::string before = read();
  EXPECT_NE(found_on_opening(path), "");
  EXPECT_EQ(read(), before);
  EXPECT_EQ(folder.entries(), 1U);
}

TEST(SqliteStore, OpenRefusesABookOfANewerStrandbook) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  new_book(path).reset();
  ASSERT_EQ(outside(path, "PRAGMA user_version = 99"), "");
  EXPECT_NE(found_on_opening(path).find("newer strandbook"), std::string::npos);
}

TEST(SqliteStore, OpenRefusesABookCutOff) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(append(*new_book(path), test_device(), notes(500)));
  const std::uintmax_t size = std::filesystem::file_size(path);
  for (const std::uintmax_t left : {size - 1, size / 2, std::uintmax_t{8192}, std::uintmax_t{5000}}) {
    std::filesystem::resize_file(path, left);
    EXPECT_NE(found_on_opening(path), "") << left;
  }
  std::filesystem::resize_file(path, 10);
  EXPECT_EQ(found_on_opening(path), "a file that is not a strandbook book");
}

TEST(SqliteStore, ALockedBookIsSaidToBeInUse) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  new_book(path).reset();
  const Result<SqliteConnection> other =
      SqliteConnection::open(path, SqliteConnection::Mode::open_existing, std::chrono::milliseconds(0));
  ASSERT_HOLDS(other->run("BEGIN IMMEDIATE"));
  const auto store = SqliteStore::open(path, {system_surroundings(), std::chrono::milliseconds(50)});
  ASSERT_HOLDS(store);
  const Result<Appended> refused = append(**store, test_device(), notes(1));
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.problem().found.find("another program"), std::string::npos);
  ASSERT_HOLDS(other->run("ROLLBACK"));
  EXPECT_HOLDS(append(**store, test_device(), notes(1)));
}

TEST(SqliteStore, ReadsSeeOneMomentOfTheBook) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  const auto store = new_book(path);
  ASSERT_HOLDS(append(*store, test_device(), notes(1)));
  const auto other = reopened(path);
  std::size_t seen = 0;
  const auto write_in_between = [&](const Fact&) -> Result<Done> {
    const Result<Appended> appended = append(*other, test_device(2), notes(5));
    ++seen;
    return appended ? Result<Done>{Done{}} : appended.problem();
  };
  const std::array<FactQuery, 2> twice;
  EXPECT_HOLDS(store->read(twice, write_in_between));
  EXPECT_EQ(seen, 2U);
  EXPECT_EQ(facts_of(*store, {})->size(), 11U);
}

}  // namespace
}  // namespace strandbook
