#include "edge/book/fact_fields.hpp"

#include <simdjson.h>

#include <algorithm>
#include <charconv>
#include <limits>

#include "edge/book/canonical_json.hpp"

namespace strandbook {
namespace {

Problem unreadable(const Uuid& id, const std::string& what) {
  return {{"book", {}, 0, {}},
          what + " in fact " + text_of(id),
          "content as this version of strandbook writes it",
          "The book is damaged or comes from a newer strandbook: check it with `strandbook book verify`."};
}

using simdjson::dom::element;
using simdjson::dom::element_type;

std::optional<double> number_of(const element& value) {
  double number = 0;
  if (value.get(number) == simdjson::SUCCESS) return number;
  std::string_view text;
  if (value.get(text) != simdjson::SUCCESS) return std::nullopt;
  if (text == "nan") return std::numeric_limits<double>::quiet_NaN();
  if (text == "inf") return std::numeric_limits<double>::infinity();
  if (text == "-inf") return -std::numeric_limits<double>::infinity();
  return std::nullopt;
}

void append_canonical(std::string& out, const element& value);

void append_members(std::string& out, const simdjson::dom::object& object) {
  std::map<std::string_view, element> members;
  for (const auto member : object) members.emplace(member.key, member.value);
  out += '{';
  for (const auto& [key, member] : members) {
    if (out.back() != '{') out += ',';
    append_canonical_text(out, key);
    out += ':';
    append_canonical(out, member);
  }
  out += '}';
}

template <class T>
T as(const element& value) {
  T part{};
  return value.get(part) == simdjson::SUCCESS ? part : T{};
}

/// The form that CanonicalObject writes.
void append_canonical(std::string& out, const element& value) {
  switch (value.type()) {
    case element_type::OBJECT:
      return append_members(out, as<simdjson::dom::object>(value));
    case element_type::ARRAY: {
      bool first = true;
      out += '[';
      for (const element member : as<simdjson::dom::array>(value)) {
        if (!first) out += ',';
        first = false;
        append_canonical(out, member);
      }
      out += ']';
      return;
    }
    case element_type::STRING:
      return append_canonical_text(out, as<std::string_view>(value));
    case element_type::DOUBLE:
      return append_canonical_number(out, as<double>(value));
    default:
      out += simdjson::minify(value);
  }
}

/// Whether simdjson reads the number as an integer or as a decimal; what is neither is an integer beyond 64
/// bits.
bool is_readable(std::string_view number) {
  const auto fits = [number](auto integer) {
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), integer);
    return error == std::errc{} && end == number.data() + number.size();
  };
  return number.find_first_of(".eE") != std::string_view::npos || fits(std::int64_t{}) ||
         fits(std::uint64_t{});
}

/// simdjson refuses integers beyond 64 bits, which the shortest decimal of a large double may be. As decimals
/// they are the same numbers; integers that it reads stay what they are.
std::string with_long_integers_as_decimals(std::string_view body) {
  std::string out;
  for (std::size_t i = 0; i < body.size();) {
    std::size_t end = i + 1;
    bool is_number = false;
    if (body[i] == '"') {
      while (end < body.size() && body[end] != '"') end += body[end] == '\\' ? 2 : 1;
      end = std::min(end + 1, body.size());
    } else if (body[i] == '-' || (body[i] >= '0' && body[i] <= '9')) {
      end = std::min(body.find_first_not_of("0123456789+-.eE", i), body.size());
      is_number = true;
    }
    const std::string_view part = body.substr(i, end - i);
    out += part;
    if (is_number && !is_readable(part)) out += ".0";
    i = end;
  }
  return out;
}

/// Parsers that are free again: making one takes longer than reading a fact with it.
std::vector<std::unique_ptr<simdjson::dom::parser>>& free_parsers() {
  thread_local std::vector<std::unique_ptr<simdjson::dom::parser>> parsers;
  return parsers;
}

}  // namespace

struct FactFields::Value {
  std::unique_ptr<simdjson::dom::parser> parser;  ///< of the whole body; null in a part of it
  std::shared_ptr<const Value> whole;             ///< keeps the parser of a part
  element object;

  Value() = default;
  Value(std::shared_ptr<const Value> of, const element& part) : whole(std::move(of)), object(part) {}
  Value(const Value&) = delete;
  Value& operator=(const Value&) = delete;
  ~Value() {
    constexpr std::size_t enough = 8;
    if (parser && free_parsers().size() < enough) free_parsers().push_back(std::move(parser));
  }
  std::optional<element> find(const char* key) const {
    element value;
    if (object.at_key(key).get(value) != simdjson::SUCCESS) return std::nullopt;
    return value;
  }
};

Result<FactFields> FactFields::parse(std::string_view body, const Uuid& id) {
  auto whole = std::make_shared<Value>();
  if (free_parsers().empty()) {
    whole->parser = std::make_unique<simdjson::dom::parser>();
  } else {
    whole->parser = std::move(free_parsers().back());
    free_parsers().pop_back();
  }
  auto error = whole->parser->parse(body.data(), body.size()).get(whole->object);
  if (error == simdjson::NUMBER_ERROR)
    error = whole->parser->parse(with_long_integers_as_decimals(body)).get(whole->object);
  if (error != simdjson::SUCCESS || !whole->object.is_object()) return unreadable(id, "no readable content");
  return FactFields(std::move(whole), id);
}

void FactFields::mark(const char* key) const {
  if (bad_ == nullptr) bad_ = key;
}

Result<Done> FactFields::check() const {
  if (bad_ == nullptr) return Done{};
  return unreadable(id_, std::string("no usable member \"") + bad_ + "\"");
}

bool FactFields::has(const char* key) const { return object_->find(key).has_value(); }

std::string_view FactFields::text(const char* key) const {
  const std::optional<element> value = object_->find(key);
  std::string_view text;
  if (value && value->get(text) != simdjson::SUCCESS) mark(key);
  return text;
}

std::optional<double> FactFields::number(const char* key) const {
  const std::optional<element> value = object_->find(key);
  if (!value) return std::nullopt;
  const std::optional<double> number = number_of(*value);
  if (!number) mark(key);
  return number;
}

double FactFields::needed_number(const char* key) const {
  const std::optional<double> value = number(key);
  if (!value) mark(key);
  return value.value_or(0);
}

std::optional<std::int64_t> FactFields::integer(const char* key) const {
  const std::optional<element> value = object_->find(key);
  if (!value) return std::nullopt;
  std::int64_t number = 0;
  if (value->get(number) == simdjson::SUCCESS) return number;
  mark(key);
  return std::nullopt;
}

std::vector<double> FactFields::numbers(const char* key) const {
  std::vector<double> all;
  const std::optional<element> value = object_->find(key);
  if (!value) return all;
  simdjson::dom::array list;
  if (value->get(list) != simdjson::SUCCESS) {
    mark(key);
    return all;
  }
  for (const element member : list) {
    const std::optional<double> number = number_of(member);
    if (!number) mark(key);
    all.push_back(number.value_or(0));
  }
  return all;
}

std::optional<Uuid> FactFields::uuid(const char* key) const { return word<Uuid>(key, parse_uuid); }

std::optional<Instant> FactFields::instant() const {
  const std::optional<std::int64_t> seconds = integer("time");
  if (!seconds) return std::nullopt;
  const std::string_view parts = text("time_has");
  const auto has_part = [parts](char part) { return parts.find(part) != std::string_view::npos; };
  return Instant{*seconds, has_part('d'), has_part('t'), has_part('z')};
}

std::map<std::string, std::string> FactFields::texts(const char* key) const {
  std::map<std::string, std::string> all;
  const std::optional<element> value = object_->find(key);
  if (!value) return all;
  simdjson::dom::object members;
  if (value->get(members) != simdjson::SUCCESS) {
    mark(key);
    return all;
  }
  for (const auto member : members) {
    std::string_view text;
    if (member.value.get(text) == simdjson::SUCCESS)
      all.emplace(member.key, text);
    else
      mark(key);
  }
  return all;
}

std::vector<FactFields> FactFields::objects(const char* key) const {
  std::vector<FactFields> all;
  const std::optional<element> value = object_->find(key);
  if (!value) return all;
  simdjson::dom::array list;
  if (value->get(list) != simdjson::SUCCESS) {
    mark(key);
    return all;
  }
  for (const element member : list) {
    if (!member.is_object()) mark(key);
    all.push_back(FactFields(std::make_shared<Value>(object_, member), id_));
  }
  return all;
}

std::string FactFields::object_text(const char* key) const {
  const std::optional<element> value = object_->find(key);
  if (!value) return {};
  if (!value->is_object()) {
    mark(key);
    return {};
  }
  std::string text;
  append_canonical(text, *value);
  return text;
}

}  // namespace strandbook
