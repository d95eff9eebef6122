#include "edge/exchange/rule_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr std::array standings = {Standing::checked, Standing::seen_in_extract, Standing::common_practice,
                                  Standing::own, Standing::from_memory};

std::string listed(const std::set<std::string, std::less<>>& keys) {
  std::string text;
  for (const std::string& key : keys) text += (text.empty() ? "\"" : ", \"") + key + "\"";
  return text;
}

std::vector<double> values_in(const JsonNode* node, const NumberKind& kind, RuleDesk& desk) {
  if (node == nullptr) return {};
  if (node->kind != JsonKind::list) return {plain_number(node, kind, desk)};
  if (node->items.empty()) desk.tell(node->line, fmt::format("\"{}\": an empty list", node->key), "numbers");
  std::vector<double> values;
  for (const JsonNode& item : node->items) values.push_back(plain_number(&item, kind, desk));
  return values;
}

// A published rule set holds no number of an owner's, or its report would name the wrong author.
void check_standing(Standing standing, std::size_t line, RuleDesk& desk) {
  if (standing == Standing::own && desk.owner == RuleOwner::published)
    desk.tell(line, "standing \"own\" in a published rule set", "how the published number is known",
              "Put your own numbers into a rule of your own, with an id that begins with own: .");
}

}  // namespace

void RuleDesk::tell(std::size_t line, std::string found, std::string wanted, std::string advice) {
  if (problem_) return;
  problem_ = Problem{{file_, {}, line, {}}, std::move(found), std::move(wanted), std::move(advice)};
}

ObjectReader::ObjectReader(const JsonNode& node, RuleDesk& desk) : node_(node), desk_(desk) {
  if (node.kind != JsonKind::object) desk.tell(node.line, words_of(node), "an object { ... }");
  Once keys;
  for (const JsonNode& member : node.items)
    if (node.kind == JsonKind::object) keys.claim("\"" + member.key + "\"", member.line, desk);
}

const JsonNode* ObjectReader::maybe(std::string_view key) {
  asked_.emplace(key);
  if (node_.kind != JsonKind::object) return nullptr;
  const auto at = std::find_if(node_.items.begin(), node_.items.end(),
                               [&](const JsonNode& member) { return member.key == key; });
  return at == node_.items.end() ? nullptr : &*at;
}

const JsonNode* ObjectReader::wanted(std::string_view key) {
  const JsonNode* member = maybe(key);
  if (member == nullptr)
    desk_.tell(node_.line, fmt::format("no \"{}\"", key), fmt::format("\"{}\" here", key));
  return member;
}

std::string ObjectReader::text_in(const JsonNode* member, std::string_view key) {
  if (member == nullptr) return {};
  if (member->kind == JsonKind::text) return member->text;
  desk_.tell(member->line, fmt::format("\"{}\": {}", key, words_of(*member)), "a text in quotes");
  return {};
}

std::string ObjectReader::text(std::string_view key) { return text_in(wanted(key), key); }
std::string ObjectReader::maybe_text(std::string_view key) { return text_in(maybe(key), key); }

std::string ObjectReader::text_with_words(std::string_view key) {
  const JsonNode* member = wanted(key);
  std::string value = text_in(member, key);
  if (value.empty() && member != nullptr)
    desk_.tell(member->line, fmt::format("\"{}\" is empty", key), fmt::format("a text for \"{}\"", key));
  return value;
}

void ObjectReader::finish() {
  if (node_.kind != JsonKind::object) return;
  for (const JsonNode& member : node_.items)
    if (!asked_.contains(member.key))
      desk_.tell(member.line, fmt::format("\"{}\"", member.key), "one of " + listed(asked_),
                 "Correct the spelling, or take it out.");
}

bool well_formed_name(std::string_view name, bool own) {
  return !name.empty() && name.size() <= 60 && std::all_of(name.begin(), name.end(), [&](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '.' ||
           (own && ((c >= 'A' && c <= 'Z') || c == '_'));
  });
}

void Once::claim(const std::string& what, std::size_t line, RuleDesk& desk) {
  const auto [first, fresh] = lines_.emplace(what, line);
  if (!fresh)
    desk.tell(line, fmt::format("a second {} (the first is in row {})", what, first->second), "one only",
              "Two rows that answer one question leave the limit open: take one out.");
}

double plain_number(const JsonNode* node, const NumberKind& kind, RuleDesk& desk) {
  if (node == nullptr) return 0;
  // Written so that NaN fails too.
  if (node->kind == JsonKind::number && node->number >= kind.least && node->number <= kind.most)
    return node->number;
  desk.tell(node->line,
            node->key.empty() ? words_of(*node) : fmt::format("\"{}\": {}", node->key, words_of(*node)),
            fmt::format("a number from {} to {} {}", kind.least, kind.most, kind.unit));
  return 0;
}

std::vector<double> plain_numbers(const JsonNode* node, const NumberKind& kind, RuleDesk& desk) {
  return values_in(node, kind, desk);
}

void tell_unit(ObjectReader& object, std::string_view unit) {
  const JsonNode* node = object.wanted("unit");
  if (node == nullptr || (node->kind == JsonKind::text && node->text == unit)) return;
  object.desk().tell(node->line, "\"unit\": " + words_of(*node), fmt::format("the unit \"{}\"", unit),
                     "Convert the value if it is in another unit.");
}

Standing read_standing(ObjectReader& object) {
  const JsonNode* node = object.wanted("standing");
  if (node == nullptr) return Standing::from_memory;
  const Standing standing = read_choice(*node, standings, object.desk()).value_or(Standing::from_memory);
  check_standing(standing, node->line, object.desk());
  return standing;
}

bool read_document(ObjectReader& object, RuleRef& source) {
  const std::string edition = object.maybe_text("edition");
  const std::string document = object.maybe_text("document");
  if (document.empty() && !edition.empty())
    object.desk().tell(object.line(), "an edition without its document", "\"document\" beside \"edition\"");
  if (document.empty()) return false;
  source.document = document;
  source.edition = edition;
  return true;
}

RuleRef read_source(ObjectReader& object) {
  RuleRef source{.document = object.desk().document,
                 .edition = object.desk().edition,
                 .clause = object.text("clause"),
                 .standing = read_standing(object),
                 .note = object.maybe_text("note")};
  read_document(object, source);
  return source;
}

SourcedNumbers read_numbers(const JsonNode* node, const NumberKind& kind, RuleDesk& desk) {
  if (node == nullptr) return {};
  ObjectReader object(*node, desk);
  SourcedNumbers numbers;
  numbers.values = values_in(object.wanted("value"), kind, desk);
  tell_unit(object, kind.unit);
  numbers.source = read_source(object);
  object.finish();
  return numbers;
}

SourcedNumber read_number(const JsonNode* node, const NumberKind& kind, RuleDesk& desk) {
  SourcedNumbers numbers = read_numbers(node, kind, desk);
  if (numbers.values.size() > 1) desk.tell(node->line, "several values", "one value");
  return {numbers.values.empty() ? 0 : numbers.values.front(), std::move(numbers.source)};
}

int whole_number(const JsonNode* node, const NumberKind& kind, RuleDesk& desk) {
  const double number = plain_number(node, kind, desk);
  if (node != nullptr && number != std::floor(number))
    desk.tell(node->line, "\"" + node->key + "\": " + words_of(*node), "a whole number");
  return static_cast<int>(number);
}

std::vector<std::string> maybe_texts(const JsonNode* list, RuleDesk& desk) {
  std::vector<std::string> texts;
  if (list == nullptr) return texts;
  if (list->kind != JsonKind::list)
    desk.tell(list->line, "\"" + list->key + "\": " + words_of(*list), "a list of texts");
  for (const JsonNode& item : list->items) {
    if (item.kind != JsonKind::text || item.text.empty())
      desk.tell(item.line, words_of(item), "a text in quotes");
    texts.push_back(item.text);
  }
  return texts;
}

std::vector<std::string> read_texts(const JsonNode* list, RuleDesk& desk) {
  if (list != nullptr && (list->kind != JsonKind::list || list->items.empty()))
    desk.tell(list->line, "\"" + list->key + "\": " + words_of(*list), "a list of " + list->key);
  return maybe_texts(list, desk);
}

}  // namespace strandbook
