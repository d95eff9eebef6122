#include "edge/exchange/text_encoding.hpp"

#include <iconv.h>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <optional>

namespace strandbook {
namespace {

constexpr std::size_t kSample = std::size_t{64} * 1024;
constexpr std::string_view kUtf8Mark = "\xEF\xBB\xBF";

std::size_t row_of(std::string_view text, std::size_t offset) {
  const std::string_view before = text.substr(0, offset);
  return 1 + static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n'));
}

bool is_ascii_word(const char* at) {
  std::uint64_t word = 0;
  std::memcpy(&word, at, sizeof word);
  return (word & 0x8080808080808080U) == 0;
}

bool is_continuation(unsigned char byte) { return (byte & 0xC0U) == 0x80U; }

/// Length of the well-formed character at `at` (its first byte is not ASCII), or 0.
std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t n) {
    return at + n < text.size() ? static_cast<unsigned char>(text[at + n]) : static_cast<unsigned char>(0);
  };
  const unsigned char lead = byte(0);
  const unsigned char second = byte(1);
  if (!is_continuation(second) || lead < 0xC2 || lead > 0xF4) return 0;
  if (lead < 0xE0) return 2;
  if (!is_continuation(byte(2))) return 0;
  if (lead < 0xF0) {
    const bool overlong = lead == 0xE0 && second < 0xA0;
    const bool surrogate = lead == 0xED && second >= 0xA0;
    return overlong || surrogate ? 0 : 3;
  }
  const bool outside = (lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second >= 0x90);
  return outside || !is_continuation(byte(3)) ? 0 : 4;
}

enum class Utf16 { none, little_endian, big_endian };

struct ZeroBytes {
  std::size_t even = 0;
  std::size_t odd = 0;
  std::size_t pairs = 0;
};

ZeroBytes count_zero_bytes(std::string_view sample) {
  ZeroBytes zeros;
  for (std::size_t i = 0; i + 1 < sample.size(); i += 2, ++zeros.pairs) {
    zeros.even += sample[i] == '\0' ? 1U : 0U;
    zeros.odd += sample[i + 1] == '\0' ? 1U : 0U;
  }
  return zeros;
}

/// Digits, separators and line ends are below 256 in every script, so in a table of UTF-16 a good share
/// of the high bytes is zero and hardly any low byte.
Utf16 utf16_of(std::string_view bytes) {
  if (bytes.starts_with("\xFF\xFE")) return Utf16::little_endian;
  if (bytes.starts_with("\xFE\xFF")) return Utf16::big_endian;
  const ZeroBytes zeros = count_zero_bytes(bytes.substr(0, kSample));
  const auto dominates = [&](std::size_t many, std::size_t few) {
    return many * 5 >= zeros.pairs && few * 20 <= many && many > 0;
  };
  if (dominates(zeros.odd, zeros.even)) return Utf16::little_endian;
  if (dominates(zeros.even, zeros.odd)) return Utf16::big_endian;
  return Utf16::none;
}

struct Conversion {
  std::string text;
  std::optional<std::size_t> broken_at;  ///< offset in the source
};

Conversion convert(std::string_view from, const char* encoding) {
  Conversion done;
  iconv_t converter = iconv_open("UTF-8", encoding);
  // NOLINTNEXTLINE(performance-no-int-to-ptr,cppcoreguidelines-pro-type-cstyle-cast): iconv's own error value
  if (converter == reinterpret_cast<iconv_t>(-1)) return {{}, 0};
  // A unit of one byte grows to at most three in UTF-8, a UTF-16 unit of two to three.
  done.text.resize(from.size() * 3 + 4);
  char* source = const_cast<char*>(from.data());  // iconv does not write to it
  std::size_t source_left = from.size();
  char* target = done.text.data();
  std::size_t target_left = done.text.size();
  const std::size_t result = iconv(converter, &source, &source_left, &target, &target_left);
  iconv_close(converter);
  if (result == static_cast<std::size_t>(-1)) done.broken_at = from.size() - source_left;
  done.text.resize(done.text.size() - target_left);
  done.text.shrink_to_fit();
  return done;
}

Problem binary_problem(const std::string& file, std::string found) {
  return {{file, {}, 0, {}},
          std::move(found),
          "a table: delimited text (CSV), XLSX or ODS",
          "export the table again from the program that made it, as CSV, XLSX or ODS"};
}

std::optional<Problem> reject_controls(std::string_view text, const std::string& file) {
  const std::size_t zero = text.find('\0');
  if (zero != std::string_view::npos) {
    Problem problem = binary_problem(file, "a zero byte, which text never holds");
    problem.at.row = row_of(text, zero);
    return problem;
  }
  const std::string_view sample = text.substr(0, kSample);
  const auto is_control = [](char c) {
    return static_cast<unsigned char>(c) < 0x20 && (c < '\t' || c > '\r');
  };
  const auto controls = static_cast<std::size_t>(std::count_if(sample.begin(), sample.end(), is_control));
  if (controls * 50 > sample.size() && controls > 1) return binary_problem(file, "binary content, not text");
  return std::nullopt;
}

Result<DecodedText> decode_utf16(std::string_view bytes, Utf16 order, const std::string& file) {
  const bool marked = bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF");
  const bool little = order == Utf16::little_endian;
  Conversion done = convert(bytes.substr(marked ? 2 : 0), little ? "UTF-16LE" : "UTF-16BE");
  if (done.broken_at) {
    Problem problem = binary_problem(file, "UTF-16 text that is damaged or cut off");
    problem.at.row = row_of(done.text, done.text.size());
    return problem;
  }
  if (auto problem = reject_controls(done.text, file)) return *problem;
  const std::string how = std::string(little ? "UTF-16, low byte first" : "UTF-16, high byte first") +
                          (marked ? ", with byte-order mark" : ", without byte-order mark");
  return DecodedText{std::move(done.text), 0, how};
}

Result<DecodedText> decode_windows_1252(std::string_view bytes, const std::string& file) {
  Conversion done = convert(bytes, "WINDOWS-1252");
  if (!done.broken_at) return DecodedText{std::move(done.text), 0, "Windows-1252 (it is not valid UTF-8)"};
  Problem problem = binary_problem(file, "a byte that is text neither in UTF-8 nor in Windows-1252");
  problem.at.row = row_of(bytes, *done.broken_at);
  problem.advice = "save the file again as CSV UTF-8";
  return problem;
}

}  // namespace

std::size_t first_invalid_utf8(std::string_view text) {
  std::size_t at = 0;
  while (at < text.size()) {
    while (at + 8 <= text.size() && is_ascii_word(text.data() + at)) at += 8;
    if (at >= text.size()) break;
    if (static_cast<unsigned char>(text[at]) < 0x80) {
      ++at;
      continue;
    }
    const std::size_t length = utf8_length(text, at);
    if (length == 0) return at;
    at += length;
  }
  return std::string_view::npos;
}

Result<DecodedText> decode_text(std::string bytes, const std::string& file) {
  const Utf16 order = utf16_of(bytes);
  if (order != Utf16::none) return decode_utf16(bytes, order, file);
  if (auto problem = reject_controls(bytes, file)) return *problem;
  const bool marked = bytes.starts_with(kUtf8Mark);
  if (first_invalid_utf8(bytes) != std::string_view::npos) {
    if (!marked) return decode_windows_1252(bytes, file);
    Problem problem = binary_problem(file, "a UTF-8 byte-order mark, but a byte that is not UTF-8");
    problem.at.row = row_of(bytes, first_invalid_utf8(bytes));
    return problem;
  }
  return DecodedText{std::move(bytes), marked ? kUtf8Mark.size() : 0,
                     marked ? "UTF-8 with byte-order mark" : "UTF-8"};
}

}  // namespace strandbook
