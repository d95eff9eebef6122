#include "front/service/fields_in.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/cell_time.hpp"

namespace strandbook {
namespace {

Problem wrong(const JsonNode& at, const std::string& key, const std::string& found,
              const std::string& wanted) {
  return {{"request", {}, at.line, key}, found, wanted, "Nothing was written."};
}

}  // namespace

Result<FieldsIn> FieldsIn::parse(const Request& request) {
  const Result<JsonNode> node = parse_json(request.body, "request");
  if (!node) return node.problem();
  if (node->kind != JsonKind::object) return wrong(*node, {}, words_of(*node), "a JSON object");
  return FieldsIn(*node);
}

const JsonNode* FieldsIn::find(const char* key) {
  known_.insert(key);
  for (const JsonNode& member : object_.items)
    if (member.key == key) return member.kind == JsonKind::null ? nullptr : &member;
  return nullptr;
}

bool FieldsIn::names(const char* key) {
  known_.insert(key);
  return std::any_of(object_.items.begin(), object_.items.end(),
                     [&](const JsonNode& member) { return member.key == key; });
}

void FieldsIn::note(const char* key, const std::string& found, const std::string& wanted) {
  if (!problem_) problem_ = wrong(object_, key, found, wanted);
}

std::optional<std::string> FieldsIn::text(const char* key, std::size_t most) {
  const JsonNode* node = find(key);
  if (node == nullptr) return std::nullopt;
  if (node->kind != JsonKind::text) {
    note(key, words_of(*node), "a text");
    return std::nullopt;
  }
  if (node->text.size() > most) {
    note(key, fmt::format("{} bytes", node->text.size()), fmt::format("at most {} bytes", most));
    return std::nullopt;
  }
  return node->text;
}

std::optional<double> FieldsIn::number(const char* key, double least, double most) {
  const JsonNode* node = find(key);
  if (node == nullptr) return std::nullopt;
  if (node->kind == JsonKind::number && node->number >= least && node->number <= most) return node->number;
  note(key, words_of(*node), fmt::format("a number from {} to {}", least, most));
  return std::nullopt;
}

std::optional<int> FieldsIn::whole(const char* key, int least, int most) {
  const auto value = number(key, least, most);
  if (!value) return std::nullopt;
  const int whole = static_cast<int>(*value);
  if (whole == *value) return whole;
  note(key, fmt::format("{}", *value), "a whole number");
  return std::nullopt;
}

std::vector<double> FieldsIn::numbers(const char* key, double least, double most) {
  std::vector<double> values;
  const JsonNode* node = find(key);
  if (node == nullptr) return values;
  if (node->kind != JsonKind::list || node->items.size() > 100)
    note(key, words_of(*node), "a list of numbers");
  for (const JsonNode& each : node->items) {
    if (each.kind == JsonKind::number && each.number >= least && each.number <= most)
      values.push_back(each.number);
    else
      note(key, words_of(each), fmt::format("numbers from {} to {}", least, most));
  }
  return values;
}

std::vector<std::string> FieldsIn::texts(const char* key) {
  std::vector<std::string> values;
  const JsonNode* node = find(key);
  if (node == nullptr) return values;
  if (node->kind != JsonKind::list || node->items.size() > 1000)
    note(key, words_of(*node), "a list of texts");
  for (const JsonNode& each : node->items) {
    if (each.kind == JsonKind::text && each.text.size() <= usual_text)
      values.push_back(each.text);
    else
      note(key, words_of(each), "texts");
  }
  return values;
}

bool FieldsIn::truth(const char* key) {
  const JsonNode* node = find(key);
  if (node == nullptr) return false;
  if (node->kind != JsonKind::boolean) note(key, words_of(*node), "true or false");
  return node->text == "true";
}

std::optional<Instant> FieldsIn::instant(const char* key) {
  const auto given = text(key);
  if (!given) return std::nullopt;
  const auto moment = read_moment(*given);
  if (moment && moment->pattern == DatePattern::fixed && moment->day_first.timed) return moment->day_first;
  note(key, "\"" + *given + "\"", "a moment such as 2026-04-05T13:12:00Z");
  return std::nullopt;
}

const JsonNode* FieldsIn::object(const char* key) {
  const JsonNode* node = find(key);
  if (node == nullptr || node->kind == JsonKind::object) return node;
  note(key, words_of(*node), "an object");
  return nullptr;
}

std::string FieldsIn::needed_text(const char* key, std::size_t most) {
  const auto given = text(key, most);
  if (!given || given->empty()) note(key, given ? "an empty text" : "nothing", "a text");
  return given.value_or("");
}

double FieldsIn::needed_number(const char* key, double least, double most) {
  const auto given = number(key, least, most);
  if (!given) note(key, "nothing", fmt::format("a number from {} to {}", least, most));
  return given.value_or(0);
}

Result<Done> FieldsIn::check() const {
  if (problem_) return *problem_;
  for (const JsonNode& member : object_.items)
    if (!known_.contains(member.key))
      return wrong(member, member.key, "a member nobody knows", "none of this name");
  return Done{};
}

}  // namespace strandbook
