#include "edge/exchange/text_encoding.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace strandbook {
namespace {

using namespace std::string_literals;

std::string shown(const DecodedText& text) { return text.text.substr(text.start); }

struct EncodingCase {
  std::string bytes;
  std::string text;
  std::string how;
};

class TextEncoding : public testing::TestWithParam<EncodingCase> {};

TEST_P(TextEncoding, BecomesUtf8) {
  const auto decoded = decode_text(GetParam().bytes, "t.csv");
  ASSERT_TRUE(decoded) << describe(decoded.problem());
  EXPECT_EQ(shown(*decoded), GetParam().text);
  EXPECT_EQ(decoded->how, GetParam().how);
}

// SOURCE: byte values after RFC 3629 (UTF-8), RFC 2781 (UTF-16) and the IANA registration of windows-1252.
INSTANTIATE_TEST_SUITE_P(
    Kinds, TextEncoding,
    testing::Values(
        EncodingCase{"a,\xC3\xA4\n", "a,\xC3\xA4\n", "UTF-8"},
        EncodingCase{"\xEF\xBB\xBF"
                     "a\n",
                     "a\n", "UTF-8 with byte-order mark"},
        EncodingCase{"\xFF\xFE"
                     "a\0\xE4\0\n\0"s,
                     "a\xC3\xA4\n", "UTF-16, low byte first, with byte-order mark"},
        EncodingCase{"\xFE\xFF\0a\xD8\x3D\xDE\x00"s, "a\xF0\x9F\x98\x80",
                     "UTF-16, high byte first, with byte-order mark"},
        EncodingCase{"a\0;\0\x31\0\n\0"s, "a;1\n", "UTF-16, low byte first, without byte-order mark"},
        EncodingCase{"\0a\0;\0\x31\0\n"s, "a;1\n", "UTF-16, high byte first, without byte-order mark"},
        EncodingCase{"L\xE4nge \x80 \xB5m", "L\xC3\xA4nge \xE2\x82\xAC \xC2\xB5m",
                     "Windows-1252 (it is not valid UTF-8)"},
        EncodingCase{"", "", "UTF-8"}));

class NotText : public testing::TestWithParam<std::string> {};

TEST_P(NotText, IsAProblemThatSaysWhatToDo) {
  const auto decoded = decode_text(GetParam(), "t.csv");
  ASSERT_FALSE(decoded);
  EXPECT_EQ(decoded.problem().at.file, "t.csv");
  EXPECT_FALSE(decoded.problem().advice.empty());
}

INSTANTIATE_TEST_SUITE_P(Kinds, NotText,
                         testing::Values("abc,def\nabc\0,def"s, "\x89PNG\r\n\x1A\n\0\0\0\rIHDR"s,
                                         "\x01\x02\x03\x04"s, "\xE4\x81x"s,
                                         "\xFF\xFE"
                                         "a\0b"s,
                                         "\xFF\xFE\x00\xD8"
                                         "a\0"s,
                                         "\xEF\xBB\xBF"
                                         "a\xE4z"s));

TEST(TextEncodingRow, OfAZeroByteIsNamed) {
  EXPECT_EQ(decode_text("aaaaaaaa\nbbbbbbbb\nc\0ddddddd"s, "t.csv").problem().at.row, 3U);
}

// SOURCE: RFC 3629 section 3 and 4: overlong forms, surrogates and values above U+10FFFF are not UTF-8.
TEST(Utf8, RefusesWhatTheStandardRefuses) {
  for (const std::string_view bad : {"\xC0\x80", "\xE0\x80\x80", "\xED\xA0\x80", "\xF0\x80\x80\x80",
                                     "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\x80", "\xC3", "\xE2\x82"})
    EXPECT_EQ(first_invalid_utf8("12345678" + std::string(bad)), 8U);
  EXPECT_EQ(first_invalid_utf8("\xF4\x8F\xBF\xBF\xEE\x80\x80"), std::string_view::npos);
}

RC_GTEST_PROP(Utf8Property, AsciiTextComesOutAsItWentIn, ()) {
  const auto text = *rc::gen::container<std::string>(rc::gen::inRange(' ', '\x7f'));
  const auto decoded = decode_text(text, "t.csv");
  RC_ASSERT(static_cast<bool>(decoded));
  RC_ASSERT(shown(*decoded) == text);
}

}  // namespace
}  // namespace strandbook
