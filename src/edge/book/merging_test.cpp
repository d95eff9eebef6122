// Books of several devices brought together: the order, the number of times and the parts do not matter.

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>
#include <sys/stat.h>

#include <fstream>

#include "edge/book/book_state.hpp"
#include "edge/book/book_test_ground.hpp"
#include "edge/book/carry_file.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/recording.hpp"
#include "edge/book/verify.hpp"

namespace strandbook {
namespace {

/// A device with a key of its own.
Device signing_device(const TestFolder& folder, std::uint8_t number) {
  Device device = test_device(number);
  const auto key = DeviceKey::load_or_create(folder.file("key" + std::to_string(number)));
  if (!key) ADD_FAILURE() << describe(key.problem());
  if (key) device.key = *key;
  return device;
}

void note_in(Store& store, const Device& device, const std::string& text) {
  const FactDraft draft = note_draft(text);
  EXPECT_HOLDS(append(store, device, std::span(&draft, 1)));
}

/// Everything a book holds, in one text.
std::string content_of(const Store& store) {
  std::string text;
  FactQuery query;
  query.order = FactOrder::chain;
  EXPECT_HOLDS(store.read(std::span(&query, 1), [&](const Fact& fact) -> Result<Done> {
    text += text_of(fact.hash) + fact.body + fact.subject.link + "/" + fact.subject.strand + "\n";
    return Done{};
  }));
  EXPECT_HOLDS(store.read_heads(std::nullopt, [&](const Head& head) -> Result<Done> {
    text += text_of(head.device) + std::to_string(head.sequence) + base64_of(head.signature) + "\n";
    return Done{};
  }));
  EXPECT_HOLDS(store.read_files([&](const Sha256& name, std::string_view) -> Result<Done> {
    text += text_of(name) + "\n";
    return Done{};
  }));
  return text;
}

/// A book whose ids are not those of the others.
std::unique_ptr<SqliteStore> book_of(const TestFolder& folder, const std::string& name) {
  static std::int64_t start_ms = 1775393520000;
  auto store = SqliteStore::create(folder.file(name), {steady_surroundings(start_ms += 1000003)});
  if (!store) ADD_FAILURE() << describe(store.problem());
  return store ? std::move(*store) : nullptr;
}

void merge_into(Store& into, const Store& from) {
  const Result<TakenIn> taken = merge(into, from);
  ASSERT_HOLDS(taken);
  EXPECT_TRUE(taken->refused.empty()) << describe(taken->refused.front());
}

struct ThreeCrews : testing::Test {
  ThreeCrews() {
    for (std::uint8_t crew = 0; crew < 3; ++crew) {
      books.push_back(book_of(folder, "crew" + std::to_string(crew)));
      devices.push_back(signing_device(folder, static_cast<std::uint8_t>(crew + 1)));
      for (int i = 0; i < 3; ++i)
        note_in(*books[crew], devices[crew], "crew " + std::to_string(crew) + " note " + std::to_string(i));
    }
  }
  TestFolder folder;
  std::vector<std::unique_ptr<SqliteStore>> books;
  std::vector<Device> devices;
};

TEST_F(ThreeCrews, MergedInAnyOrderAndTwiceComeToTheSame) {
  std::vector<int> order{0, 1, 2};
  std::optional<std::string> first;
  int round = 0;
  do {
    const auto whole = book_of(folder, "whole" + std::to_string(round++));
    for (const int crew : order) merge_into(*whole, *books[static_cast<std::size_t>(crew)]);
    merge_into(*whole, *books[static_cast<std::size_t>(order.front())]);
    EXPECT_TRUE(verify(*whole).holds());
    if (!first) first = content_of(*whole);
    EXPECT_EQ(content_of(*whole), *first);
  } while (std::next_permutation(order.begin(), order.end()));
  EXPECT_EQ(round, 6);
}

TEST_F(ThreeCrews, MergingIsAssociativeAndTakesNothingAway) {
  const auto left = book_of(folder, "left"), right = book_of(folder, "right");
  merge_into(*books[1], *books[2]);
  merge_into(*right, *books[0]);
  merge_into(*right, *books[1]);
  merge_into(*left, *books[0]);
  merge_into(*left, *books[1]);
  merge_into(*left, *books[2]);
  EXPECT_EQ(content_of(*left), content_of(*right));
}

TEST_F(ThreeCrews, ACarryFileHoldsWhatTheOtherSideLacks) {
  const auto office = book_of(folder, "office");
  merge_into(*office, *books[0]);
  const Result<std::vector<Head>> seen = ends_of(*office);
  ASSERT_HOLDS(seen);
  note_in(*books[0], devices[0], "after lunch");
  FactsToCarry wish;
  for (const Head& head : *seen) wish.after[head.device] = head.sequence;
  const Result<Carried> carried = write_carry_file(*books[0], wish, folder.file("day.carry"));
  ASSERT_HOLDS(carried);
  EXPECT_EQ(carried->facts, 1U);
  EXPECT_EQ(carried->signatures, 1U);
  const Result<TakenIn> taken = take_in_carry_file(*office, folder.file("day.carry"));
  ASSERT_HOLDS(taken);
  EXPECT_EQ(taken->facts, 1U);
  EXPECT_EQ(content_of(*office), content_of(*books[0]));
  EXPECT_FALSE(write_carry_file(*books[0], wish, folder.file("day.carry"))) << "a name that is taken";
}

TEST_F(ThreeCrews, ACarryFileThatComesEarlyLeavesAGapThatTheMissingOneFills) {
  FactsToCarry later;
  later.after[devices[0].id] = 2;
  ASSERT_HOLDS(write_carry_file(*books[0], later, folder.file("later.carry")));
  ASSERT_HOLDS(write_carry_file(*books[0], {}, folder.file("all.carry")));
  const auto office = book_of(folder, "office");
  ASSERT_HOLDS(take_in_carry_file(*office, folder.file("later.carry")));
  const Verification gap = verify(*office);
  ASSERT_FALSE(gap.holds());
  EXPECT_NE(gap.bad->advice.find("carry-file"), std::string::npos);
  ASSERT_HOLDS(take_in_carry_file(*office, folder.file("all.carry")));
  EXPECT_TRUE(verify(*office).holds());
  EXPECT_EQ(content_of(*office), content_of(*books[0]));
}

RC_GTEST_PROP(Merging, PartsInAnyOrderComeToTheWhole, ()) {
  const TestFolder folder;
  const auto source = book_of(folder, "source");
  static const TestFolder keys;
  const std::array<Device, 2> devices{signing_device(keys, 1), signing_device(keys, 2)};
  const auto writers = *rc::gen::resize(6, rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 2)));
  std::vector<std::string> parts;
  for (const int writer : writers) {
    note_in(*source, devices[static_cast<std::size_t>(writer)], "n");
    FactsToCarry wish;
    for (const Device& device : devices)
      wish.after[device.id] =
          *rc::gen::inRange<std::int64_t>(0, 1 + static_cast<std::int64_t>(writers.size()));
    parts.push_back(folder.file("part" + std::to_string(parts.size())));
    RC_ASSERT(static_cast<bool>(write_carry_file(*source, wish, parts.back())));
  }
  parts.push_back(folder.file("whole"));
  RC_ASSERT(static_cast<bool>(write_carry_file(*source, {}, parts.back())));
  const auto office = book_of(folder, "office");
  const auto order = *rc::gen::resize(
      8, rc::gen::container<std::vector<std::size_t>>(rc::gen::inRange<std::size_t>(0, parts.size())));
  for (const std::size_t part : order) RC_ASSERT(static_cast<bool>(take_in_carry_file(*office, parts[part])));
  RC_ASSERT(static_cast<bool>(take_in_carry_file(*office, parts.back())));
  RC_ASSERT(content_of(*office) == content_of(*source));
  RC_ASSERT(verify(*office).holds());
}

TEST(Merging, ABookThatWasCopiedAndWentOnInTwoIsSaidToBe) {
  const TestFolder folder;
  const auto one = book_of(folder, "one"), two = book_of(folder, "two");
  const Device device = signing_device(folder, 1);
  note_in(*one, device, "same");
  merge_into(*two, *one);
  note_in(*one, device, "on one machine");
  note_in(*two, device, "on the other");
  note_in(*two, device, "and again");
  const Result<TakenIn> taken = merge(*one, *two);
  ASSERT_HOLDS(taken);
  ASSERT_EQ(taken->refused.size(), 1U);
  EXPECT_NE(taken->refused.front().advice.find("file was copied"), std::string::npos);
  EXPECT_TRUE(verify(*one).holds());
}

TEST(Merging, TheSameFileBroughtInTwiceCountsOnce) {
  const TestFolder folder;
  const auto one = book_of(folder, "one"), two = book_of(folder, "two");
  ScheduledStrand strand;
  strand.link = "L1";
  strand.strand = "1";
  strand.at = {"plan.csv", "", 2, ""};
  const ImportedFile file{"plan.csv", "link,strand\nL1,1\n", ImportPurpose::schedule, "", {}};
  for (const auto& [book, device] :
       {std::pair(one.get(), test_device(1)), std::pair(two.get(), test_device(2))})
    ASSERT_HOLDS(add_import(*book, device, file, {.strands = std::span(&strand, 1)}));
  merge_into(*one, *two);
  const Result<BookState> state = current_state(*one);
  ASSERT_HOLDS(state);
  EXPECT_EQ(state->schedule.size(), 1U);
  EXPECT_EQ(state->imports.size(), 1U);
  EXPECT_EQ(state->doubled, 1U);
  EXPECT_TRUE(state->repeated.empty());
}

TEST(Merging, ADamagedCarryFileIsRefusedWhole) {
  const TestFolder folder;
  const auto source = book_of(folder, "source"), office = book_of(folder, "office");
  const Device device = signing_device(folder, 1);
  for (int i = 0; i < 20; ++i) note_in(*source, device, "note " + std::to_string(i));
  ASSERT_HOLDS(write_carry_file(*source, {}, folder.file("whole")));
  std::ifstream in(folder.file("whole"), std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(in)), {});
  std::vector<std::string> wrong{"", "not a gzip file\n", bytes.substr(0, bytes.size() / 2),
                                 bytes.substr(0, bytes.size() - 9)};
  wrong.push_back(bytes);
  wrong.back()[bytes.size() / 2] ^= 1;
  for (const std::string& each : wrong) {
    std::ofstream(folder.file("wrong"), std::ios::binary) << each;
    const Result<TakenIn> taken = take_in_carry_file(*office, folder.file("wrong"));
    ASSERT_FALSE(taken) << each.size();
    EXPECT_EQ(taken.problem().at.file, folder.file("wrong"));
  }
  EXPECT_EQ(office->counts()->facts, 0U);
}

TEST(Merging, AFactThatWasChangedOnTheWayIsRefusedAndTheRestGoesOn) {
  const TestFolder folder;
  const auto source = book_of(folder, "source"), office = book_of(folder, "office");
  const Device device = signing_device(folder, 1);
  for (const char* text : {"a", "b", "c"}) note_in(*source, device, text);
  TakenIn taken;
  ASSERT_HOLDS(office->write([&](StoreWriter& writer) -> Result<Done> {
    TakerIn taker(writer, "hand-made");
    FactQuery query;
    query.order = FactOrder::chain;
    const Result<Done> read = source->read(std::span(&query, 1), [&](Fact fact) {
      if (fact.sequence == 3) fact.body = "{\"text\":\"forged\"}";
      return taker.take(fact);
    });
    taken = std::move(taker).finish();
    return read;
  }));
  ASSERT_EQ(taken.refused.size(), 1U);
  EXPECT_EQ(taken.facts, 3U) << "the key, two notes";
  merge_into(*office, *source);
  EXPECT_TRUE(verify(*office).holds());
}

struct SignedBook : testing::Test {
  SignedBook() : book(book_of(folder, "book")), device(signing_device(folder, 1)) {
    for (const char* text : {"a", "b", "c"}) note_in(*book, device, text);
  }
  /// Lets someone change the file who knows SQLite and takes the guards away.
  void tamper(const std::string& sql) {
    book.reset();
    auto connection =
        SqliteConnection::open(path, SqliteConnection::Mode::open_existing, std::chrono::seconds(1));
    ASSERT_HOLDS(connection);
    for (const char* guard : {"facts_stay", "facts_are_kept", "heads_stay", "heads_are_kept"})
      ASSERT_HOLDS(connection->run(std::string("DROP TRIGGER ") + guard));
    ASSERT_HOLDS(connection->run(sql));
    book = reopened(path);
  }
  TestFolder folder;
  std::string path = folder.file("book");
  std::unique_ptr<SqliteStore> book;
  Device device;
};

TEST_F(SignedBook, NamesItsKeyAndIsSignedToTheEnd) {
  const Verification found = verify(*book);
  EXPECT_TRUE(found.holds());
  ASSERT_EQ(found.chains.size(), 1U);
  EXPECT_EQ(found.chains[0].in_order_to, 4);
  EXPECT_EQ(found.chains[0].signed_to, 4);
  EXPECT_EQ(found.chains[0].keys, std::vector{fingerprint_of(device.key->public_key())});
}

TEST_F(SignedBook, FactsAddedFromOutsideBearNoSignature) {
  Device forger = device;
  forger.key = nullptr;
  note_in(*book, forger, "forged");
  const Verification found = verify(*book);
  ASSERT_FALSE(found.holds());
  EXPECT_EQ(found.chains[0].signed_to, 4) << "what was signed before stands";
}

TEST_F(SignedBook, AnotherKeyIsSeenInTheListOfKeys) {
  const TestFolder elsewhere;
  Device forger = signing_device(elsewhere, 1);
  note_in(*book, forger, "forged");
  const Verification found = verify(*book);
  EXPECT_EQ(found.chains[0].keys.size(), 2U);
}

TEST_F(SignedBook, ASignatureThatIsNotItsOwnIsFound) {
  tamper("UPDATE heads SET signature = x'00' WHERE sequence = 4");
  const Verification found = verify(*book);
  ASSERT_FALSE(found.holds());
  EXPECT_EQ(found.chains[0].signed_to, 3);
}

TEST_F(SignedBook, FactsCutOffTheEndAreMissedByTheirSignature) {
  tamper("DELETE FROM facts WHERE sequence = 4");
  EXPECT_FALSE(verify(*book).holds());
}

TEST_F(SignedBook, ABookCutBackIsFoundByAnEndSeenElsewhere) {
  const Result<std::vector<Head>> ends = ends_of(*book);
  ASSERT_HOLDS(ends);
  const Result<std::vector<Head>> read = parse_heads(heads_text(*ends), "ends.txt");
  ASSERT_HOLDS(read);
  EXPECT_EQ(*read, *ends);
  EXPECT_TRUE(verify(*book, *read).holds());
  tamper("DELETE FROM heads WHERE sequence = 4; DELETE FROM facts WHERE sequence = 4");
  EXPECT_TRUE(verify(*book).holds()) << "by itself it cannot be seen";
  const Verification found = verify(*book, *read);
  ASSERT_FALSE(found.holds());
  EXPECT_NE(found.bad->found.find("number 4"), std::string::npos);
}

TEST_F(SignedBook, ALostDeviceKeepsItsOldFactsAndLosesItsLater) {
  const Result<std::vector<Head>> ends = ends_of(*book);
  ASSERT_HOLDS(ends);
  const FactDraft retired =
      to_fact(Retirement{device.id, ends->front().sequence, ends->front().hash, "R.", "lost"});
  ASSERT_HOLDS(append(*book, signing_device(folder, 2), std::span(&retired, 1)));
  note_in(*book, device, "by whoever found it");
  const Result<BookState> state = current_state(*book);
  ASSERT_HOLDS(state);
  EXPECT_EQ(state->remarks.size(), 3U);
  EXPECT_EQ(state->cut_off.at(device.id), 1U);
  EXPECT_EQ(verify(*book).chains[0].ends, 4);
}

TEST(SignedBooks, ABookOfTheFirstFormGoesOnSigned) {
  const TestFolder folder;
  Device device = test_device(1);
  note_in(*book_of(folder, "book"), device, "unsigned");
  {
    auto connection = SqliteConnection::open(folder.file("book"), SqliteConnection::Mode::open_existing,
                                             std::chrono::seconds(1));
    ASSERT_HOLDS(connection);
    ASSERT_HOLDS(
        connection->run("DROP TABLE entries; DROP TABLE heads; DROP TABLE book; PRAGMA user_version = 1"));
  }
  const auto book = reopened(folder.file("book"));
  const Result<Uuid> id = book->book_id();
  ASSERT_HOLDS(id);
  note_in(*book, in_book(signing_device(folder, 1), *id), "signed");
  const Verification found = verify(*book);
  EXPECT_TRUE(found.holds()) << describe(found.bad.value_or(Problem{}));
  ASSERT_EQ(found.chains.size(), 2U);
  EXPECT_EQ(found.chains[0].signed_to + found.chains[1].signed_to, 2);
}

TEST(DeviceKey, IsReadableByItsOwnerOnly) {
  const TestFolder folder;
  ASSERT_HOLDS(DeviceKey::load_or_create(folder.file("key")));
  struct stat rights {};
  ASSERT_EQ(::stat(folder.file("key").c_str(), &rights), 0);
  EXPECT_EQ(rights.st_mode & 0777U, 0600U);
  ASSERT_EQ(::chmod(folder.file("key").c_str(), 0644), 0);
  const auto shared = DeviceKey::load_or_create(folder.file("key"));
  ASSERT_FALSE(shared);
  EXPECT_NE(shared.problem().advice.find("chmod 600"), std::string::npos);
}

TEST(DeviceKey, RefusesWhatIsNoKey) {
  const TestFolder folder;
  std::ofstream(folder.file("key")) << "-----BEGIN NOTHING-----\n";
  ASSERT_EQ(::chmod(folder.file("key").c_str(), 0600), 0);
  EXPECT_FALSE(DeviceKey::load_or_create(folder.file("key")));
}

// SOURCE: RFC 4648, section 10, test vectors.
TEST(DeviceKey, WritesBytesAsTheRfcDoes) {
  EXPECT_EQ(base64_of("foobar"), "Zm9vYmFy");
  EXPECT_EQ(base64_of("foob"), "Zm9vYg==");
  EXPECT_EQ(bytes_of_base64("Zm9vYmE="), "fooba");
  EXPECT_EQ(bytes_of_base64("Zm9vYg=="), "foob");
  EXPECT_EQ(bytes_of_base64("Zm9"), "");
  EXPECT_EQ(bytes_of_base64("*m9v"), "");
}

// SOURCE: RFC 6979, A.2.5: curve P-256, SHA-256, message "sample".
TEST(DeviceKey, HoldsThePublishedSignature) {
  const auto hex = [](std::string_view digits) {
    std::string bytes;
    for (std::size_t i = 0; i + 1 < digits.size(); i += 2)
      bytes += static_cast<char>(std::stoi(std::string(digits.substr(i, 2)), nullptr, 16));
    return bytes;
  };
  const std::string public_key =
      hex("3059301306072a8648ce3d020106082a8648ce3d030107034200"
          "0460fed4ba255a9d31c961eb74c6356d68c049b8923b61fa6ce669622e60f29fb67903fe1008b8bc99a4"
          "1ae9e95628bc64f2f1b20c2d7e9f5177a3c294d4462299");
  const std::string signature =
      hex("3046022100efd48b2aacb6a8fd1140dd9cd45e81d69d2c877b56aaf991c34d0ea84eaf3716"
          "022100f7cb1c942d657c41d436c7a1b6e29f65f3e900dbb9aff4064dc4ab2f843acda8");
  EXPECT_TRUE(PublicKey(public_key).holds("sample", signature));
  EXPECT_FALSE(PublicKey(public_key).holds("samples", signature));
}

}  // namespace
}  // namespace strandbook
