#include "edge/book/canonical_json.hpp"

#include <array>
#include <cassert>
#include <charconv>
#include <cmath>
#include <cstddef>

namespace strandbook {
namespace {

std::uint8_t byte_at(std::string_view text, std::size_t i) {
  return i < text.size() ? static_cast<std::uint8_t>(text[i]) : 0;
}

bool is_tail(std::uint8_t byte) { return (byte & 0xc0U) == 0x80; }

/// Length of the well-formed UTF-8 sequence at `i` (Unicode, table 3-7); 0 where there is none.
std::size_t sequence_length(std::string_view text, std::size_t i) {
  const std::uint8_t a = byte_at(text, i);
  const std::uint8_t b = byte_at(text, i + 1);
  if (a < 0x80) return 1;
  if (a < 0xc2 || a > 0xf4 || !is_tail(b)) return 0;
  if (a < 0xe0) return 2;
  if (!is_tail(byte_at(text, i + 2))) return 0;
  if (a < 0xf0) return (a == 0xe0 && b < 0xa0) || (a == 0xed && b > 0x9f) ? 0 : 3;
  if ((a == 0xf0 && b < 0x90) || (a == 0xf4 && b > 0x8f)) return 0;
  return is_tail(byte_at(text, i + 3)) ? 4 : 0;
}

void append_control(std::string& out, char c) {
  constexpr std::string_view digits = "0123456789abcdef";
  switch (c) {
    case '\b':
      out += "\\b";
      return;
    case '\f':
      out += "\\f";
      return;
    case '\n':
      out += "\\n";
      return;
    case '\r':
      out += "\\r";
      return;
    case '\t':
      out += "\\t";
      return;
    default:
      break;
  }
  const auto byte = static_cast<std::uint8_t>(c);
  out += "\\u00";
  out += digits[byte >> 4U];
  out += digits[byte & 15U];
}

/// How many characters from `i` on are ASCII that stands for itself: nearly all of nearly every text.
std::size_t plain_run(std::string_view text, std::size_t i) {
  std::size_t end = i;
  while (end < text.size() && text[end] >= 0x20 && text[end] < 0x7f && text[end] != '"' && text[end] != '\\')
    ++end;
  return end - i;
}

}  // namespace

void append_canonical_text(std::string& out, std::string_view text) {
  out += '"';
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t plain = plain_run(text, i);
    out += text.substr(i, plain);
    i += plain;
    if (i == text.size()) break;
    const char c = text[i];
    const std::size_t length = sequence_length(text, i);
    if (length == 0) {
      out += "\xef\xbf\xbd";
    } else if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (static_cast<std::uint8_t>(c) < 0x20) {
      append_control(out, c);
    } else {
      out += text.substr(i, length);
    }
    i += length == 0 ? 1 : length;
  }
  out += '"';
}

void append_canonical_number(std::string& out, double value) {
  if (std::isnan(value)) {
    out += "\"nan\"";
  } else if (std::isinf(value)) {
    out += value > 0 ? "\"inf\"" : "\"-inf\"";
  } else if (value == 0 && std::signbit(value)) {
    out += "-0.0";  // "-0" would be read as the integer 0
  } else {
    std::array<char, 32> digits{};
    out.append(digits.data(), std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr);
  }
}

CanonicalObject::CanonicalObject() {
  constexpr std::size_t usual = 255;  // so that most bodies grow in place
  json_.reserve(usual);
  json_ = '{';
}

void CanonicalObject::key(std::string_view key) {
  assert(last_key_ < key);
  last_key_ = key;
  if (json_.size() > 1) json_ += ',';
  append_canonical_text(json_, key);
  json_ += ':';
}

CanonicalObject& CanonicalObject::text(std::string_view name, std::string_view value) {
  key(name);
  append_canonical_text(json_, value);
  return *this;
}

CanonicalObject& CanonicalObject::text_if(std::string_view name, std::string_view value) {
  return value.empty() ? *this : text(name, value);
}

CanonicalObject& CanonicalObject::integer(std::string_view name, std::int64_t value) {
  key(name);
  json_ += std::to_string(value);
  return *this;
}

CanonicalObject& CanonicalObject::integer_if(std::string_view name, std::int64_t value) {
  return value == 0 ? *this : integer(name, value);
}

CanonicalObject& CanonicalObject::number(std::string_view name, double value) {
  key(name);
  append_canonical_number(json_, value);
  return *this;
}

CanonicalObject& CanonicalObject::raw(std::string_view name, std::string_view json) {
  key(name);
  json_ += json;
  return *this;
}

std::string CanonicalObject::finish() && {
  json_ += '}';
  return std::move(json_);
}

std::string with_text(std::string_view object, std::string_view key, std::string_view value) {
  // Keys of the object itself stand at depth 1, each before a colon, in rising order.
  std::size_t at = 1;
  int depth = 0;
  for (std::size_t i = 0; i + 1 < object.size(); ++i) {
    if (object[i] == '"') {
      const std::size_t begin = i + 1;
      for (++i; object[i] != '"'; ++i)
        if (object[i] == '\\') ++i;
      const bool is_key = depth == 1 && i + 1 < object.size() && object[i + 1] == ':';
      if (is_key && object.substr(begin, i - begin) > key) {
        at = begin - 1;
        break;
      }
    } else if (object[i] == '{' || object[i] == '[') {
      ++depth;
    } else if (object[i] == '}' || object[i] == ']') {
      --depth;
    }
    at = object.size() - 1;
  }
  std::string member;
  append_canonical_text(member, key);
  member += ':';
  append_canonical_text(member, value);
  const bool first = at == 1;
  const bool last = at + 1 == object.size();
  std::string out{object.substr(0, at)};
  if (last && !first) out += ',';
  out += member;
  if (!last) out += ',';
  return out += object.substr(at);
}

}  // namespace strandbook
