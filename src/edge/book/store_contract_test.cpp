// What every store must do, held against each: SQLite always, PostgreSQL where tests/with_postgres gives an
// address.

#include <gtest/gtest.h>
#include <sys/wait.h>

#include <array>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <new>
#include <set>
#include <thread>

#include "edge/book/any_store.hpp"
#include "edge/book/book_state.hpp"
#include "edge/book/book_test_ground.hpp"
#include "edge/book/carry_file.hpp"
#include "edge/book/newer_readings.hpp"
#include "edge/book/postgres_connection.hpp"
#include "edge/book/recording.hpp"
#include "edge/book/verify.hpp"

namespace strandbook {
namespace {

enum class Engine { sqlite, postgres };
std::ostream& operator<<(std::ostream& out, Engine engine) {
  return out << (engine == Engine::sqlite ? "sqlite" : "postgres");
}

const char* server() { return std::getenv("STRANDBOOK_POSTGRES"); }

class StoreContract : public testing::TestWithParam<Engine> {
 protected:
  void SetUp() override {
    if (GetParam() == Engine::postgres && server() == nullptr) GTEST_SKIP() << "no STRANDBOOK_POSTGRES";
    store_ = fresh();
    device_.id.bytes[15] = 1;
    const auto key = DeviceKey::load_or_create(folder_.file("key"));
    ASSERT_HOLDS(key);
    device_.key = *key;
  }
  /// A place for a book that nobody else has: a file, or a schema of its own.
  std::string new_place() {
    static int number = 0;
    const std::string name = "book" + std::to_string(::getpid()) + "_" + std::to_string(number++);
    if (GetParam() == Engine::sqlite) return folder_.file(name);
    const auto connection = PostgresConnection::open(server());
    EXPECT_HOLDS(connection);
    EXPECT_HOLDS(connection->command("CREATE SCHEMA " + name));
    return std::string(server()) + "?options=-csearch_path%3D" + name;
  }
  std::unique_ptr<Store> fresh() {
    place_ = new_place();
    auto store = create_store(place_, system_surroundings());
    if (!store) ADD_FAILURE() << describe(store.problem());
    return store ? std::move(*store) : nullptr;
  }
  std::unique_ptr<Store> again() const {
    auto store = open_store(place_, system_surroundings());
    if (!store) ADD_FAILURE() << describe(store.problem());
    return store ? std::move(*store) : nullptr;
  }
  void note(Store& store, const Device& device, const std::string& text) const {
    const FactDraft draft = note_draft(text);
    EXPECT_HOLDS(append(store, device, std::span(&draft, 1)));
  }
  static std::vector<std::string> bodies(const Store& store, FactQuery query = {}) {
    std::vector<std::string> all;
    EXPECT_HOLDS(store.read(std::span(&query, 1), [&](const Fact& fact) -> Result<Done> {
      all.push_back(fact.body);
      return Done{};
    }));
    return all;
  }
  TestFolder folder_;
  std::string place_;
  std::unique_ptr<Store> store_;
  Device device_;
};

TEST_P(StoreContract, FactsComeBackAsTheyWereAdded) {
  const std::vector<FactDraft> drafts{
      {FactKind::note,
       "{\"link\":\"L\\u0001 ü\",\"strand\":\"1\",\"text\":\"tab\\tquote\\\"\"}",
       {"L\x01 ü", "1"},
       {}},
      {FactKind::correction,
       "{\"fact\":\"01960000-0000-7000-8000-000000000000\"}",
       {"L", "2"},
       parse_uuid("01960000-0000-7000-8000-000000000000")}};
  ASSERT_HOLDS(append(*store_, device_, drafts));
  FactQuery chain;
  chain.order = FactOrder::chain;
  const auto facts = facts_of(*again(), chain);
  ASSERT_HOLDS(facts);
  ASSERT_EQ(facts->size(), 3U) << "the key goes before";
  EXPECT_EQ((*facts)[0].kind, FactKind::device_key);
  EXPECT_EQ((*facts)[1].body, drafts[0].body);
  EXPECT_EQ((*facts)[1].subject, drafts[0].subject);
  EXPECT_EQ((*facts)[2].target, drafts[1].target);
  for (const Fact& fact : *facts) EXPECT_EQ(fact.hash, fact_hash(fact));
}

TEST_P(StoreContract, QuestionsFindWhatTheyAskFor) {
  for (const char* strand : {"1", "2", "1"}) {
    const FactDraft draft{FactKind::note,
                          std::string("{\"link\":\"L\",\"strand\":\"") + strand + "\",\"text\":\"\"}",
                          {"L", strand},
                          {}};
    ASSERT_HOLDS(append(*store_, device_, std::span(&draft, 1)));
  }
  FactQuery subject;
  subject.subject = Subject{"L", "1"};
  EXPECT_EQ(bodies(*store_, subject).size(), 2U);
  FactQuery kind;
  kind.kind = FactKind::device_key;
  EXPECT_EQ(bodies(*store_, kind).size(), 1U);
  EXPECT_EQ(store_->subjects()->size(), 2U);
  EXPECT_EQ(store_->counts()->facts, 4U);
  EXPECT_EQ(store_->counts()->by_kind[static_cast<std::size_t>(FactKind::note)], 3U);
}

TEST_P(StoreContract, TheLatestComeFirstAFewAtATime) {
  for (int i = 0; i < 5; ++i) note(*store_, device_, std::to_string(i));
  FactQuery latest;
  latest.order = FactOrder::latest;
  latest.most = 2;
  EXPECT_EQ(bodies(*store_, latest), (std::vector<std::string>{R"({"text":"4"})", R"({"text":"3"})"}));
  const auto facts = facts_of(*store_, latest);
  ASSERT_HOLDS(facts);
  latest.before = facts->back().id;
  EXPECT_EQ(bodies(*store_, latest), (std::vector<std::string>{R"({"text":"2"})", R"({"text":"1"})"}));
}

Batch entry_batch(const std::string& entry, const std::string& text) {
  Batch batch =
      batch_of({FactKind::note, R"({"entry":")" + entry + R"(","text":")" + text + "\"}", {}, {}}, {});
  batch.entry = entry;
  return batch;
}

TEST_P(StoreContract, WhatCameAfterAFactIsFoundAndHowManyFactsThereAre) {
  EXPECT_EQ(*store_->chained_facts(), 0);
  EXPECT_EQ(reach_of(*store_)->latest, Uuid{});
  note(*store_, device_, "1");
  const Result<BookReach> reach = reach_of(*store_);
  ASSERT_HOLDS(reach);
  EXPECT_EQ(reach->chained, static_cast<std::int64_t>(store_->counts()->facts));
  Device other;
  other.id.bytes[15] = 2;
  // Ids of two devices have no order within a millisecond.
  const auto next = [] { std::this_thread::sleep_for(std::chrono::milliseconds(3)); };
  next();
  note(*again(), other, "2");
  next();
  note(*store_, device_, "3");
  const auto later = facts_of(*store_, {.after = reach->latest});
  ASSERT_HOLDS(later);
  EXPECT_EQ(*store_->chained_facts(), reach->chained + static_cast<std::int64_t>(later->size()));
  EXPECT_NE(later->front().body.find('2'), std::string::npos);
  EXPECT_NE(later->back().body.find('3'), std::string::npos);
}

TEST_P(StoreContract, AnEntryIsRecordedOnceByWhicheverProgram) {
  const std::string entry = "017f22e2-79b0-4cc3-98c4-dc0c0c07398f";
  const Result<Appended> first = store_->append(device_, entry_batch(entry, "here"));
  ASSERT_HOLDS(first);
  EXPECT_FALSE(first->already);
  Device other = device_;
  other.id.bytes[14] = 9;
  const auto elsewhere = again();
  const Result<Appended> second = elsewhere->append(other, entry_batch(entry, "there"));
  ASSERT_HOLDS(second);
  EXPECT_TRUE(second->already);
  EXPECT_EQ(second->first, first->first);
  EXPECT_EQ(second->facts, 0U);
  EXPECT_EQ(store_->counts()->by_kind[static_cast<std::size_t>(FactKind::note)], 1U);
}

TEST_P(StoreContract, AnEntrySentToManyAtOnceIsRecordedOnce) {
  constexpr int writers = 4, entries = 20;
  std::atomic<int> fresh = 0;
  std::vector<std::thread> threads;
  for (int writer = 0; writer < writers; ++writer)
    threads.emplace_back([&, writer] {
      const auto own = again();
      Device device = device_;
      device.id.bytes[14] = static_cast<std::uint8_t>(writer);
      for (int i = 0; i < entries; ++i) {
        const std::string entry = "017f22e2-79b0-4cc3-98c4-dc0c0c0739" + std::to_string(10 + i);
        const Result<Appended> done = own->append(device, entry_batch(entry, "x"));
        EXPECT_HOLDS(done);
        if (done && !done->already) ++fresh;
      }
    });
  for (std::thread& each : threads) each.join();
  EXPECT_EQ(fresh, entries);
  EXPECT_EQ(store_->counts()->by_kind[static_cast<std::size_t>(FactKind::note)], entries);
  EXPECT_TRUE(verify(*store_).holds());
}

TEST_P(StoreContract, ABookOfTheFormBeforeKnowsItsEntries) {
  const std::string entry = "017f22e2-79b0-4cc3-98c4-dc0c0c07398f";
  ASSERT_HOLDS(store_->append(device_, entry_batch(entry, "old")));
  store_.reset();
  if (GetParam() == Engine::sqlite) {
    const auto connection =
        SqliteConnection::open(place_, SqliteConnection::Mode::open_existing, std::chrono::seconds(1));
    ASSERT_HOLDS(connection);
    ASSERT_HOLDS(connection->run("DROP TABLE entries; PRAGMA user_version = 2"));
  } else {
    const auto connection = PostgresConnection::open(place_);
    ASSERT_HOLDS(connection);
    ASSERT_HOLDS(connection->command("DROP TABLE entries; UPDATE strandbook_book SET form = 1"));
  }
  const auto opened = again();
  const Result<Appended> sent_again = opened->append(device_, entry_batch(entry, "new"));
  ASSERT_HOLDS(sent_again);
  EXPECT_TRUE(sent_again->already);
}

TEST_P(StoreContract, AProblemUndoesTheWholeWrite) {
  note(*store_, device_, "before");
  const Result<Done> done = store_->write([&](StoreWriter& writer) -> Result<Done> {
    Fact fact;
    fact.id.bytes[0] = 7;
    fact.device = device_.id;
    fact.sequence = 99;
    fact.body = "{}";
    if (const Result<Done> added = writer.add(fact); !added) return added;
    return Problem{{}, "enough", "", ""};
  });
  EXPECT_FALSE(done);
  EXPECT_EQ(bodies(*store_).size(), 2U);
  note(*store_, device_, "after");
  EXPECT_TRUE(verify(*store_).holds());
}

/// Notes 0, 1, 2, ...: more than are formed in one piece. At `bad` the source gives a Problem.
Batch many_notes(int count, int bad = -1) {
  auto at = std::make_shared<int>(0);
  return {{}, [=](const Uuid&) -> Result<std::optional<FactDraft>> {
            if (*at == bad) return Problem{{}, "enough", "", ""};
            if (*at == count) return std::optional<FactDraft>{};
            return std::optional<FactDraft>{note_draft(std::to_string((*at)++))};
          }};
}

TEST_P(StoreContract, AnImportOfManyPiecesIsOneChainInItsOrder) {
  constexpr int count = 10'000;
  const Result<Appended> appended = store_->append(device_, many_notes(count));
  ASSERT_HOLDS(appended);
  EXPECT_EQ(appended->facts, static_cast<std::size_t>(count));
  FactQuery notes;
  notes.order = FactOrder::chain;
  notes.kind = FactKind::note;
  const std::vector<std::string> found = bodies(*store_, notes);
  ASSERT_EQ(found.size(), static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i)
    ASSERT_EQ(found[static_cast<std::size_t>(i)], note_draft(std::to_string(i)).body);
  const Verification checked = verify(*store_);
  EXPECT_TRUE(checked.holds()) << describe(checked.bad.value_or(Problem{}));
  EXPECT_EQ(find_fact(*store_, appended->first)->value().body, found.front());
  EXPECT_EQ(find_fact(*store_, appended->last)->value().body, found.back());
}

TEST_P(StoreContract, AProblemInALaterPieceUndoesThoseBefore) {
  for (const int bad : {0, 1, 4095, 4096, 9'000}) {
    const Result<Appended> appended = store_->append(device_, many_notes(10'000, bad));
    ASSERT_FALSE(appended) << bad;
    EXPECT_EQ(appended.problem().found, "enough");
    EXPECT_TRUE(bodies(*store_).empty()) << bad;
  }
  note(*store_, device_, "after");
  EXPECT_TRUE(verify(*store_).holds());
}

TEST_P(StoreContract, AFailureWhileALaterPieceIsFormedUndoesThoseBefore) {
  auto at = std::make_shared<int>(0);
  const Result<Appended> appended =
      store_->append(device_, {{}, [=](const Uuid&) -> Result<std::optional<FactDraft>> {
                                 if (++*at == 9'000) throw std::bad_alloc();
                                 return std::optional<FactDraft>{note_draft("x")};
                               }});
  EXPECT_FALSE(appended);
  EXPECT_TRUE(bodies(*store_).empty());
}

/// Fact `sequence` of a chain that nobody hashed.
Fact bare_fact(const Uuid& device, std::int64_t sequence) {
  Fact fact;
  fact.id.bytes[0] = device.bytes[15];
  fact.id.bytes[1] = static_cast<std::uint8_t>(sequence);
  fact.device = device;
  fact.sequence = sequence;
  fact.body = "{}";
  fact.hash.bytes[0] = static_cast<std::uint8_t>(sequence);
  return fact;
}

TEST_P(StoreContract, PlacesAreFoundWhateverWasAskedBefore) {
  const Uuid device = test_device(7).id;
  const Uuid other = test_device(8).id;
  constexpr std::int64_t end = 120;
  std::set<std::int64_t> there;
  const auto add = [&there, &device](StoreWriter& writer, std::int64_t sequence) {
    there.insert(sequence);
    EXPECT_HOLDS(writer.add(bare_fact(device, sequence)));
  };
  ASSERT_HOLDS(store_->write([&](StoreWriter& writer) -> Result<Done> {
    for (std::int64_t sequence = 2; sequence <= end; ++sequence)
      if (sequence % 7 != 3) add(writer, sequence);
    return Done{};
  }));
  ASSERT_HOLDS(store_->write([&](StoreWriter& writer) -> Result<Done> {
    const auto check = [&](std::int64_t sequence) {
      const auto place = writer.at(device, sequence);
      ASSERT_HOLDS(place);
      ASSERT_EQ(place->has_value(), there.contains(sequence)) << sequence;
      if (*place) {
        EXPECT_EQ((*place)->hash, bare_fact(device, sequence).hash);
      }
    };
    for (std::int64_t sequence = 0; sequence <= end + 2; ++sequence) {
      check(sequence);
      if (sequence % 9 == 0) {
        EXPECT_FALSE(writer.at(other, sequence)->has_value());
      }
      // A gap that was seen empty is filled, and found at once.
      if (sequence % 7 == 0 && !there.contains(sequence + 3)) add(writer, sequence + 3);
      check(sequence + 3);
    }
    for (const std::int64_t sequence : {end + 50, end, std::int64_t{1}, end / 2, end / 2 + 1})
      check(sequence);
    return Done{};
  }));
}

TEST_P(StoreContract, FilesAreKeptOnceAndFoundByTheirHash) {
  const std::string bytes("a\0b\xff\x00", 5);
  for (int i = 0; i < 2; ++i)
    ASSERT_HOLDS(store_->append(device_, batch_of(note_draft("file"), {{sha256(bytes), bytes}})));
  EXPECT_EQ(store_->file(sha256(bytes))->value(), bytes);
  EXPECT_FALSE(store_->file(sha256("other"))->has_value());
  EXPECT_EQ(store_->counts()->files, 1U);
}

TEST_P(StoreContract, OthersSeeThatSomeoneWrote) {
  const auto other = again();
  const auto before = other->outside_version();
  note(*other, device_, "own");
  EXPECT_EQ(*other->outside_version(), *before) << "one's own writes are no news";
  note(*store_, device_, "theirs");
  EXPECT_NE(*other->outside_version(), *before);
}

TEST_P(StoreContract, ManyWritersAtOnceKeepEveryChainWhole) {
  constexpr int writers = 4, notes = 25;
  std::vector<std::thread> threads;
  for (int writer = 0; writer < writers; ++writer)
    threads.emplace_back([&, writer] {
      const auto own = again();
      Device device = device_;
      // Two of them share a device, as two programs on one machine do.
      device.id.bytes[14] = static_cast<std::uint8_t>(writer / 2);
      for (int i = 0; i < notes; ++i) note(*own, device, std::to_string(writer) + "/" + std::to_string(i));
    });
  for (std::thread& each : threads) each.join();
  EXPECT_EQ(store_->counts()->by_kind[static_cast<std::size_t>(FactKind::note)],
            static_cast<std::size_t>(writers * notes));
  const Verification found = verify(*store_);
  EXPECT_TRUE(found.holds()) << describe(found.bad.value_or(Problem{}));
  EXPECT_EQ(found.chains.size(), 2U);
}

TEST_P(StoreContract, FromOneEngineToTheOtherAndBackNothingIsLost) {
  for (int i = 0; i < 20; ++i) note(*store_, device_, "note " + std::to_string(i));
  ASSERT_HOLDS(store_->append(device_, batch_of(note_draft("file"), {{sha256("bytes"), "bytes"}})));
  const auto between = create_store(folder_.file("between"), system_surroundings());
  ASSERT_HOLDS(between);
  ASSERT_HOLDS(merge(**between, *store_));
  const auto back = fresh();
  ASSERT_HOLDS(merge(*back, **between));
  FactQuery chain;
  chain.order = FactOrder::chain;
  EXPECT_EQ(bodies(*back, chain), bodies(*store_, chain));
  EXPECT_EQ(*ends_of(*back), *ends_of(*store_));
  EXPECT_EQ(back->file(sha256("bytes"))->value(), "bytes");
  EXPECT_TRUE(verify(*back).holds());
}

TEST_P(StoreContract, APlaceThatHoldsABookIsNotTakenAgain) {
  const auto second = create_store(place_, system_surroundings());
  ASSERT_FALSE(second);
  EXPECT_FALSE(second.problem().advice.empty());
}

TEST_P(StoreContract, RecordedIsNeverChangedFromOutside) {
  if (GetParam() == Engine::sqlite) GTEST_SKIP() << "sqlite_store_test.cpp";
  note(*store_, device_, "fact");
  const auto connection = PostgresConnection::open(place_);
  ASSERT_HOLDS(connection);
  for (const char* sql : {"UPDATE facts SET body = '{}'", "DELETE FROM facts", "TRUNCATE heads"})
    EXPECT_FALSE(connection->command(sql)) << sql;
}

TEST_P(StoreContract, AConnectionThatWasCutGoesOnAtTheNextCall) {
  if (GetParam() == Engine::sqlite) GTEST_SKIP() << "a file has no connection";
  note(*store_, device_, "before");
  const auto other = PostgresConnection::open(server());
  ASSERT_HOLDS(other);
  ASSERT_HOLDS(
      other->run("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND "
                 "backend_type = 'client backend'"));
  // The first call may find out; none may lose or double anything.
  const FactDraft draft = note_draft("after");
  Result<Appended> appended = append(*store_, device_, std::span(&draft, 1));
  if (!appended) appended = append(*store_, device_, std::span(&draft, 1));
  ASSERT_HOLDS(appended);
  EXPECT_EQ(bodies(*store_).size(), 3U);
  EXPECT_TRUE(verify(*store_).holds());
}

INSTANTIATE_TEST_SUITE_P(Engines, StoreContract, testing::Values(Engine::sqlite, Engine::postgres),
                         testing::PrintToStringParamName());

}  // namespace
}  // namespace strandbook
