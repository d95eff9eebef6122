#pragma once
// Members of a JSON object, written one after the other.

#include <optional>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "edge/exchange/text_out.hpp"

namespace strandbook {

class JsonMembers {
 public:
  explicit JsonMembers(std::string& out) : out_(out) { out_ += '{'; }
  void text(const char* key, std::string_view value) {
    name(key);
    append_json_text(out_, value);
  }
  /// Text, or null where it is empty.
  void maybe_text(const char* key, std::string_view value) {
    if (value.empty())
      raw(key, "null");
    else
      text(key, value);
  }
  /// At most six decimals.
  void number(const char* key, double value) {
    name(key);
    append_decimal(out_, value, 6);
  }
  /// A number, or null.
  void maybe_number(const char* key, const std::optional<double>& value) {
    if (value)
      number(key, *value);
    else
      raw(key, "null");
  }
  void count(const char* key, std::size_t value) { raw(key, std::to_string(value)); }
  /// The value of a unit, or null.
  template <class T>
  void quantity(const char* key, const T& maybe) {
    if (maybe)
      number(key, static_cast<double>(maybe->value));
    else
      raw(key, "null");
  }
  /// The text of a choice, or null.
  template <class T>
  void choice(const char* key, const T& maybe) {
    if (maybe)
      text(key, text_of(*maybe));
    else
      raw(key, "null");
  }
  void truth(const char* key, bool value) { raw(key, value ? "true" : "false"); }
  void raw(const char* key, std::string_view json) {
    name(key);
    out_ += json;
  }
  void name(const char* key) {
    if (!first_) out_ += ',';
    first_ = false;
    out_ += '"';
    out_ += key;
    out_ += "\":";
  }
  void end() { out_ += '}'; }

 private:
  std::string& out_;
  bool first_ = true;
};

/// "file", "sheet", "row", "column"; null where a part does not apply.
inline void append_place(JsonMembers& members, const Place& at) {
  members.maybe_text("file", at.file);
  members.maybe_text("sheet", at.sheet);
  if (at.row > 0)
    members.count("row", at.row);
  else
    members.raw("row", "null");
  members.maybe_text("column", at.column);
}

/// Elements of a list with commas between; `append` writes one.
template <class List, class Append>
void append_json_list(std::string& out, const List& list, Append append) {
  out += '[';
  bool first = true;
  for (const auto& each : list) {
    if (!first) out += ',';
    first = false;
    append(each);
  }
  out += ']';
}

}  // namespace strandbook
