#pragma once
// JSON in one form only, so that the same content always gives the same bytes and the same hash.

#include <cstdint>
#include <string>
#include <string_view>

namespace strandbook {

/// Writes an object: keys in byte order, no blanks, numbers as the shortest decimal that reads back the same,
/// characters above U+001F as themselves. Bytes that are not UTF-8 become U+FFFD. Absent members are left
/// out.
class CanonicalObject {
 public:
  CanonicalObject();
  /// Keys must come in rising byte order, and live until the object is finished.
  CanonicalObject& text(std::string_view key, std::string_view value);
  /// Left out where empty.
  CanonicalObject& text_if(std::string_view key, std::string_view value);
  CanonicalObject& integer(std::string_view key, std::int64_t value);
  /// Left out where 0.
  CanonicalObject& integer_if(std::string_view key, std::int64_t value);
  /// NaN and infinities are written as the texts "nan", "inf", "-inf".
  CanonicalObject& number(std::string_view key, double value);
  /// A value that is canonical JSON already.
  CanonicalObject& raw(std::string_view key, std::string_view json);
  std::string finish() &&;

 private:
  void key(std::string_view key);
  std::string json_;
  std::string_view last_key_;
};

/// The canonical object with one more text in its place among the keys, which must not have it yet.
std::string with_text(std::string_view object, std::string_view key, std::string_view value);

void append_canonical_text(std::string& out, std::string_view text);
void append_canonical_number(std::string& out, double value);

}  // namespace strandbook
