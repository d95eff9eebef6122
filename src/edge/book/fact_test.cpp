#include "edge/book/fact.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <bit>
#include <limits>
#include <nlohmann/json.hpp>

#include "edge/book/book_test_ground.hpp"
#include "edge/book/canonical_json.hpp"
#include "edge/book/store_writer.hpp"

namespace strandbook {
namespace {

// SOURCE: FIPS 180-4 example messages, NIST CSRC "SHA-256 example values" ("abc" and the empty message).
TEST(Sha256, PublishedValues) {
  EXPECT_EQ(text_of(sha256("abc")), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(text_of(sha256("")), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(Sha256, TextReadsBack) {
  const Sha256 hash = sha256("abc");
  EXPECT_EQ(parse_sha256(text_of(hash)), hash);
  EXPECT_FALSE(parse_sha256("ba78"));
  EXPECT_FALSE(parse_sha256(std::string(64, 'g')));
}

// SOURCE: RFC 9562, appendix A.6 (example of a UUIDv7).
TEST(Uuid, PublishedVersion7) {
  const std::int64_t ms = 0x017F22E279B0;
  std::uint64_t calls = 0;
  const auto random = [&calls]() -> std::uint64_t {
    return calls++ == 0 ? 0xCC3 & 0x7ff : 0x18C4DC0C0C07398F;
  };
  // Our first random field starts with its top bit empty: 4C3 where the example has CC3.
  EXPECT_EQ(text_of(next_uuid7(Uuid{}, ms, random)), "017f22e2-79b0-74c3-98c4-dc0c0c07398f");
}

TEST(Uuid, TextReadsBack) {
  const std::string text = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";
  ASSERT_TRUE(parse_uuid(text));
  EXPECT_EQ(text_of(*parse_uuid(text)), text);
  EXPECT_EQ(parse_uuid("017F22E2-79B0-7CC3-98C4-DC0C0C07398F"), parse_uuid(text));
  for (const char* bad : {"", "017f22e2", "017f22e2-79b0-7cc3-98c4-dc0c0c07398",
                          "017f22e279b0-7cc3-98c4-dc0c0c07398f0", "017f22e2-79b0-7cc3-98c4-dc0c0c07398g"})
    EXPECT_FALSE(parse_uuid(bad)) << bad;
}

RC_GTEST_PROP(Uuid, RisesWhateverTheClockAndTheRandomBitsDo, ()) {
  const auto times = *rc::gen::container<std::vector<std::int64_t>>(rc::gen::inRange<std::int64_t>(-5, 1000));
  Uuid previous;
  for (const std::int64_t ms : times) {
    const Uuid next = next_uuid7(previous, ms, [] { return *rc::gen::arbitrary<std::uint64_t>(); });
    RC_ASSERT(previous < next);
    RC_ASSERT(text_of(next)[14] == '7');
    previous = next;
  }
}

TEST(Uuid, RisesPastTheEndOfAMillisecond) {
  const Uuid full = *parse_uuid("017f22e2-79b0-7fff-bfff-ffffffffffff");
  const Uuid next = next_uuid7(full, 0, [] { return std::uint64_t{0}; });
  EXPECT_EQ(text_of(next), "017f22e2-79b1-7000-8000-000000000000");
}

TEST(Fact, HashIsThatOfTheDocumentedLines) {
  Fact fact;
  fact.id = *parse_uuid("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  fact.device = *parse_uuid("00000000-0000-4000-8000-000000000001");
  fact.sequence = 7;
  fact.time_ms = 1775393520000;
  fact.kind = FactKind::rule_choice;
  fact.body = R"({"rule":"own:A"})";
  // SOURCE: coreutils sha256sum over the same lines, written out by hand with printf.
  EXPECT_EQ(text_of(fact_hash(fact)), "0f1366af321e922cd4d192f59c9a1622d26a676056ac7593daaf71817c22cef4");
}

RC_GTEST_PROP(Fact, AnyChangeChangesTheHash, ()) {
  Fact fact;
  fact.body = *rc::gen::arbitrary<std::string>();
  Fact other = fact;
  switch (*rc::gen::inRange(0, 5)) {
    case 0:
      other.id.bytes[3] ^= 1;
      break;
    case 1:
      other.sequence += 1;
      break;
    case 2:
      other.time_ms += 1;
      break;
    case 3:
      other.body += ' ';
      break;
    default:
      other.previous.bytes[31] ^= 1;
      break;
  }
  RC_ASSERT(fact_hash(fact) != fact_hash(other));
}

TEST(Fact, KindsReadBack) {
  for (std::size_t i = 0; i < fact_kinds; ++i) {
    const auto kind = static_cast<FactKind>(i);
    EXPECT_EQ(parse_fact_kind(text_of(kind)), kind);
  }
  EXPECT_FALSE(parse_fact_kind("verdict"));
}

std::string number_text(double value) {
  std::string text;
  append_canonical_number(text, value);
  return text;
}

RC_GTEST_PROP(CanonicalJson, EveryDoubleReadsBackBitForBit, ()) {
  const auto value = std::bit_cast<double>(*rc::gen::arbitrary<std::uint64_t>());
  RC_PRE(std::isfinite(value));
  const double back = nlohmann::json::parse(number_text(value)).get<double>();
  RC_ASSERT(std::bit_cast<std::uint64_t>(back) == std::bit_cast<std::uint64_t>(value));
}

TEST(CanonicalJson, EdgesOfNumbers) {
  for (const double value : {0.0, -0.0, 1.0, 0.1, 1e21, 1e22, 5e-324, 1.7976931348623157e308,
                             9007199254740993.0, 18446744073709551616.0, -9223372036854775808.0}) {
    const double back = nlohmann::json::parse(number_text(value)).get<double>();
    EXPECT_EQ(std::bit_cast<std::uint64_t>(back), std::bit_cast<std::uint64_t>(value)) << number_text(value);
  }
  EXPECT_EQ(number_text(std::numeric_limits<double>::infinity()), "\"inf\"");
}

RC_GTEST_PROP(CanonicalJson, EveryTextIsReadable, ()) {
  const std::string text = *rc::gen::arbitrary<std::string>();
  std::string json;
  append_canonical_text(json, text);
  RC_ASSERT(json.find('\n') == std::string::npos);
  RC_ASSERT(!nlohmann::json::parse(json, nullptr, false).is_discarded());
}

TEST(CanonicalJson, TextStaysAsItIs) {
  const std::string text = "\"µ\\\x01\n\t\xf0\x9f\x94\xa6 07";
  std::string json;
  append_canonical_text(json, text);
  EXPECT_EQ(json, "\"\\\"µ\\\\\\u0001\\n\\t\xf0\x9f\x94\xa6 07\"");
  EXPECT_EQ(nlohmann::json::parse(json).get<std::string>(), text);
}

TEST(CanonicalJson, BytesThatAreNoTextAreMarked) {
  for (const char* bad : {"\xff", "\xc0\x80", "\xed\xa0\x80", "\xf5\x80\x80\x80", "\xe2\x82"}) {
    std::string json;
    append_canonical_text(json, bad);
    EXPECT_NE(json.find("\xef\xbf\xbd"), std::string::npos);
    EXPECT_FALSE(nlohmann::json::parse(json, nullptr, false).is_discarded());
  }
}

TEST(Device, IsMadeOnceAndReadAgain) {
  const TestFolder folder;
  const std::string path = folder.file("state/strandbook/device");
  const Result<Device> made = load_or_create_device(path, system_surroundings());
  ASSERT_HOLDS(made);
  const Result<Device> read = load_or_create_device(path, system_surroundings());
  ASSERT_HOLDS(read);
  EXPECT_EQ(read->id, made->id);
  EXPECT_EQ(text_of(made->id)[14], '4');
}

TEST(Device, RefusesWhatIsNoDeviceFile) {
  const TestFolder folder;
  const std::string path = folder.file("device");
  std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "w"), &std::fclose);
  std::fputs("strandbook device 1\nnot an id\n", file.get());
  file.reset();
  const Result<Device> read = load_or_create_device(path, system_surroundings());
  ASSERT_FALSE(read);
  EXPECT_NE(describe(read.problem()).find("no device file"), std::string::npos);
}

TEST(Device, SaysWhereItCannotBeMade) {
  const Result<Device> made = load_or_create_device("/proc/strandbook/device", system_surroundings());
  ASSERT_FALSE(made);
  EXPECT_EQ(made.problem().at.file, "/proc/strandbook/device");
}

TEST(CanonicalJson, AMemberMoreStandsInItsPlace) {
  EXPECT_EQ(with_text("{}", "by", "K."), R"({"by":"K."})");
  EXPECT_EQ(with_text(R"({"column":1})", "by", "K."), R"({"by":"K.","column":1})");
  EXPECT_EQ(with_text(R"({"advice":"a","column":1})", "by", "K."), R"({"advice":"a","by":"K.","column":1})");
  EXPECT_EQ(with_text(R"({"advice":"a \"column\": {","body":{"zone":[1]}})", "by", "K\"."),
            R"({"advice":"a \"column\": {","body":{"zone":[1]},"by":"K\"."})");
}

TEST(CanonicalJson, AnEntryIsAMemberAndNoWordsOfSomebody) {
  EXPECT_EQ(entry_in(R"({"entry":"e1","text":"x"})"), "e1");
  EXPECT_EQ(entry_in(R"({"text":"\"entry\":\"e1\""})"), "");
  EXPECT_EQ(entry_in("{}"), "");
}

}  // namespace
}  // namespace strandbook
