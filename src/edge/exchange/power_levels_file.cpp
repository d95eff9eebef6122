#include "edge/exchange/power_levels_file.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr NumberKind floor_number{"dBm", -100, -30};
constexpr NumberKind dark_number{"mW", 0, 0.001};
constexpr NumberKind lane_level_number{"dBm", -30, 30};
constexpr NumberKind ceiling_number{"dBm", 0, 40};
constexpr NumberKind imbalance_number{"dB", 0, 20};

bool is_lower_case(std::string_view text) {
  return std::none_of(text.begin(), text.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
}

void read_words(const JsonNode* node, PowerLevels& levels, RuleDesk& desk) {
  if (node == nullptr) return;
  ObjectReader object(*node, desk);
  const JsonNode* list = object.wanted("value");
  if (list != nullptr && (list->kind != JsonKind::list || list->items.empty()))
    desk.tell(list->line, words_of(*list), "a list of texts");
  if (list != nullptr)
    for (const JsonNode& item : list->items) {
      if (item.kind != JsonKind::text || item.text.empty() || !is_lower_case(item.text))
        desk.tell(item.line, words_of(item), "a text in lower case");
      levels.no_light_words.push_back(item.text);
    }
  levels.words_source = read_source(object);
  object.finish();
}

LaneImbalance read_imbalance(const JsonNode& node, RuleDesk& desk) {
  ObjectReader object(node, desk);
  LaneImbalance imbalance{object.text_with_words("application"),
                          wanted_sourced<Decibels>(object, "launch", imbalance_number),
                          wanted_sourced<Decibels>(object, "receive", imbalance_number)};
  object.finish();
  return imbalance;
}

void read_imbalances(const JsonNode* list, PowerLevels& levels, RuleDesk& desk) {
  if (list == nullptr) return;
  if (list->kind != JsonKind::list) desk.tell(list->line, words_of(*list), "a list of applications");
  Once applications;
  for (const JsonNode& item : list->items) {
    levels.lane_imbalances.push_back(read_imbalance(item, desk));
    applications.claim(levels.lane_imbalances.back().application, item.line, desk);
  }
}

Result<PowerLevels> levels_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  desk.owner = RuleOwner::own;  // a job may put its own numbers here
  ObjectReader object(root, desk);
  object.maybe_text("note");
  PowerLevels levels;
  levels.no_light = wanted_sourced<PowerDbm>(object, "no_light", floor_number);
  levels.no_light_power = wanted_sourced<Milliwatts>(object, "no_light_power", dark_number);
  read_words(object.wanted("no_light_words"), levels, desk);
  levels.unused_lane = wanted_sourced<PowerDbm>(object, "unused_lane", lane_level_number);
  levels.implausible_receive = wanted_sourced<PowerDbm>(object, "implausible_receive", ceiling_number);
  read_imbalances(object.wanted("lane_imbalances"), levels, desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return levels;
}

}  // namespace

Result<PowerLevels> read_power_levels_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return levels_of(*root, name);
}

Result<PowerLevels> read_power_levels(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return levels_of(*root, path);
}

}  // namespace strandbook
