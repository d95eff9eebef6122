#include "edge/exchange/array_rules_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr std::array array_parts = {ArrayPart::array, ArrayPart::adapter};
constexpr NumberKind position_number{"", 1, 144};
constexpr NumberKind group_index_number{"1", 1.3, 1.7};

std::vector<int> positions_in(const JsonNode* list, int highest, RuleDesk& desk) {
  std::vector<int> positions;
  if (list == nullptr) return positions;
  if (list->kind != JsonKind::list) desk.tell(list->line, words_of(*list), "a list of positions");
  std::set<int> seen;
  for (const JsonNode& item : list->items) {
    const int position = whole_number(&item, position_number, desk);
    if (position > highest)
      desk.tell(item.line, fmt::format("position {}", position), fmt::format("1 to {}", highest));
    if (!seen.insert(position).second)
      desk.tell(item.line, fmt::format("position {} twice in \"{}\"", position, list->key), "each once");
    positions.push_back(position);
  }
  return positions;
}

LaneMap read_map(ObjectReader& object, const ArrayType& type) {
  RuleDesk& desk = object.desk();
  const std::vector<int> near = positions_in(object.wanted("near"), type.positions, desk);
  const std::vector<int> far = positions_in(object.wanted("far"), type.positions, desk);
  const auto fibres = static_cast<std::size_t>(type.fibres);
  if (near.size() != fibres || far.size() != fibres)
    desk.tell(object.line(), fmt::format("{} near and {} far positions", near.size(), far.size()),
              fmt::format("{} of each, as \"fibres\" says", type.fibres));
  LaneMap map;
  for (std::size_t i = 0; i < std::min(near.size(), far.size()); ++i) map[near[i]] = far[i];
  return map;
}

ArrayType read_type(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  ArrayType type;
  if (const JsonNode* part = object.wanted("part"))
    type.part = read_choice(*part, array_parts, desk).value_or(ArrayPart::array);
  type.name = object.text_with_words("type");
  type.fibres = whole_number(object.wanted("fibres"), position_number, desk);
  type.positions = whole_number(object.wanted("positions"), position_number, desk);
  type.map = read_map(object, type);
  type.source = read_source(object);
  object.finish();
  return type;
}

ChannelPart read_part(const JsonNode& item, const ArrayMaps& maps, RuleDesk& desk) {
  for (const ArrayType& type : maps.types)
    if (item.text == fmt::format("{} {}", text_of(type.part), type.name)) return {type.part, type.name};
  desk.tell(item.line, words_of(item), "a part that \"maps\" describes, such as \"adapter A\"");
  return {};
}

ChannelMethod read_method_row(const JsonNode& item, const ArrayMaps& maps, RuleDesk& desk) {
  ObjectReader object(item, desk);
  ChannelMethod method;
  method.name = object.text_with_words("name");
  if (const JsonNode* list = object.wanted("parts")) {
    if (list->items.empty()) desk.tell(list->line, words_of(*list), "a list of parts");
    for (const JsonNode& part : list->items) method.parts.push_back(read_part(part, maps, desk));
  }
  method.cords = object.text_with_words("cords");
  method.not_known = object.maybe_text("not_known");
  method.source = read_source(object);
  object.finish();
  return method;
}

GroupIndexRow read_index(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  GroupIndexRow row;
  row.categories = read_choices(object.wanted("fibre"), fibre_categories, desk);
  row.wavelength = {plain_number(object.wanted("wavelength_nm"), wavelength_number, desk)};
  row.index = wanted_sourced<double>(object, "index", group_index_number);
  object.finish();
  return row;
}

/// The items of a list that must be there.
const std::vector<JsonNode>& items_of(ObjectReader& object, std::string_view key) {
  static const std::vector<JsonNode> none;
  const JsonNode* list = object.wanted(key);
  if (list == nullptr) return none;
  if (list->kind == JsonKind::list && !list->items.empty()) return list->items;
  object.desk().tell(list->line, fmt::format("\"{}\": {}", key, words_of(*list)), "a list with rows");
  return none;
}

void read_types(ObjectReader& object, ArrayMaps& maps) {
  RuleDesk& desk = object.desk();
  Once once;
  for (const JsonNode& item : items_of(object, "maps")) {
    maps.types.push_back(read_type(item, desk));
    const ArrayType& type = maps.types.back();
    once.claim(fmt::format("{} {} of {} fibres", text_of(type.part), type.name, type.fibres), item.line,
               desk);
  }
}

Result<ArrayRules> rules_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  ObjectReader object(root, desk);
  ArrayRules rules;
  object.text_with_words("title");
  desk.document = object.text_with_words("document");
  desk.edition = object.text("edition");
  object.maybe_text("note");
  rules.cautions = read_texts(object.wanted("cautions"), desk);
  read_types(object, rules.maps);
  Once once;
  for (const JsonNode& item : items_of(object, "methods")) {
    rules.maps.methods.push_back(read_method_row(item, rules.maps, desk));
    once.claim("method " + rules.maps.methods.back().name, item.line, desk);
  }
  for (const JsonNode& item : items_of(object, "group_indices"))
    rules.group_indices.push_back(read_index(item, desk));
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return rules;
}

}  // namespace

Result<ArrayRules> read_array_rules_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return rules_of(*root, name);
}

Result<ArrayRules> read_array_rules(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return rules_of(*root, path);
}

}  // namespace strandbook
