#include "edge/book/fact_fields.hpp"

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

std::optional<double> number_of(const nlohmann::json& value) {
  if (value.is_number()) return value.get<double>();
  if (value == "nan") return std::numeric_limits<double>::quiet_NaN();
  if (value == "inf") return std::numeric_limits<double>::infinity();
  if (value == "-inf") return -std::numeric_limits<double>::infinity();
  return std::nullopt;
}

void append_canonical(std::string& out, const nlohmann::json& value);

void append_members(std::string& out, const nlohmann::json& value) {
  out += value.is_object() ? '{' : '[';
  bool first = true;
  for (const auto& [key, member] : value.items()) {
    if (!first) out += ',';
    first = false;
    if (value.is_object()) {
      append_canonical_text(out, key);
      out += ':';
    }
    append_canonical(out, member);
  }
  out += value.is_object() ? '}' : ']';
}

/// The form that CanonicalObject writes. Needs a value that was read from it, so it is nested a few levels
/// only.
void append_canonical(std::string& out, const nlohmann::json& value) {
  if (value.is_structured()) {
    append_members(out, value);
  } else if (value.is_string()) {
    append_canonical_text(out, value.get_ref<const std::string&>());
  } else if (value.is_number_float()) {
    append_canonical_number(out, value.get<double>());
  } else {
    out += value.dump();
  }
}

}  // namespace

Result<FactFields> FactFields::parse(std::string_view body, const Uuid& id) {
  nlohmann::json json = nlohmann::json::parse(body, nullptr, false);
  if (!json.is_object()) return unreadable(id, "no readable content");
  return FactFields(std::move(json), id);
}

const nlohmann::json* FactFields::find(const char* key) const {
  const auto at = json_.find(key);
  return at == json_.end() ? nullptr : &*at;
}

void FactFields::mark(const char* key) const {
  if (bad_ == nullptr) bad_ = key;
}

Result<Done> FactFields::check() const {
  if (bad_ == nullptr) return Done{};
  return unreadable(id_, std::string("no usable member \"") + bad_ + "\"");
}

bool FactFields::has(const char* key) const { return find(key) != nullptr; }

std::string_view FactFields::text(const char* key) const {
  const nlohmann::json* value = find(key);
  if (value == nullptr) return {};
  const auto* text = value->get_ptr<const std::string*>();
  if (text != nullptr) return *text;
  mark(key);
  return {};
}

std::optional<double> FactFields::number(const char* key) const {
  const nlohmann::json* value = find(key);
  if (value == nullptr) return std::nullopt;
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
  const nlohmann::json* value = find(key);
  if (value == nullptr) return std::nullopt;
  if (value->is_number_integer()) return value->get<std::int64_t>();
  mark(key);
  return std::nullopt;
}

std::vector<double> FactFields::numbers(const char* key) const {
  std::vector<double> all;
  const nlohmann::json* value = find(key);
  if (value == nullptr) return all;
  if (!value->is_array()) mark(key);
  for (const nlohmann::json& member : *value) {
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
  const nlohmann::json* value = find(key);
  if (value == nullptr) return all;
  if (!value->is_object()) {
    mark(key);
    return all;
  }
  for (const auto& [name, member] : value->items()) {
    if (!member.is_string()) mark(key);
    if (member.is_string()) all.emplace(name, member.get_ref<const std::string&>());
  }
  return all;
}

std::vector<FactFields> FactFields::objects(const char* key) const {
  std::vector<FactFields> all;
  const nlohmann::json* value = find(key);
  if (value == nullptr) return all;
  if (!value->is_array()) mark(key);
  for (const nlohmann::json& member : *value) {
    if (!member.is_object()) mark(key);
    all.push_back(FactFields(member, id_));
  }
  return all;
}

std::string FactFields::object_text(const char* key) const {
  const nlohmann::json* value = find(key);
  if (value == nullptr) return {};
  if (!value->is_object()) {
    mark(key);
    return {};
  }
  std::string text;
  append_canonical(text, *value);
  return text;
}

}  // namespace strandbook
