#include "edge/exchange/array_json.hpp"

#include "edge/exchange/check_json.hpp"

namespace strandbook {
namespace {

void append_positions(std::string& out, const std::vector<int>& positions) {
  append_json_list(out, positions, [&](int position) { out += std::to_string(position); });
}

void append_deviation(std::string& out, const Deviation& each) {
  JsonMembers members(out);
  members.count("near", static_cast<std::size_t>(each.near));
  members.count("far", static_cast<std::size_t>(each.far));
  members.count("wanted", static_cast<std::size_t>(each.wanted));
  members.end();
}

void append_map(std::string& out, const MapJudgement& map) {
  JsonMembers members(out);
  members.text("outcome", text_of(map.outcome));
  members.count("fibres", static_cast<std::size_t>(map.fibres));
  members.count("positions", static_cast<std::size_t>(map.positions));
  members.maybe_text("recognised", map.recognised);
  members.maybe_text("compared_with", map.compared);
  members.name("deviations");
  append_json_list(out, map.deviations, [&](const Deviation& each) { append_deviation(out, each); });
  members.name("missing");
  append_positions(out, map.missing);
  members.name("dark");
  append_positions(out, map.dark);
  members.name("reasons");
  append_texts(out, map.reasons);
  members.end();
}

void append_wanted(std::string& out, const WantedMap& wanted) {
  JsonMembers members(out);
  members.text("name", wanted.name);
  members.maybe_text("cords", wanted.cords);
  members.maybe_text("not_known", wanted.not_known);
  members.name("sources");
  append_json_list(out, wanted.sources, [&](const RuleRef& source) { append_source(out, source); });
  members.end();
}

void append_skew(std::string& out, const SkewJudgement& judged) {
  JsonMembers members(out);
  members.text("outcome", text_of(judged.outcome));
  if (judged.skew) {
    members.number("skew_ns", judged.skew->skew_ns);
    members.number("difference_m", judged.skew->difference.value);
    members.count("shortest_position", static_cast<std::size_t>(judged.skew->first_position));
    members.count("longest_position", static_cast<std::size_t>(judged.skew->last_position));
  }
  if (judged.group_index) {
    members.number("group_index", judged.group_index->value);
    members.name("group_index_source");
    append_source(out, judged.group_index->source);
  }
  members.name("reasons");
  append_texts(out, judged.reasons);
  members.end();
}

void append_array(std::string& out, const JudgedArray& array) {
  JsonMembers members(out);
  members.text("array", array.name);
  members.text("outcome", text_of(array.outcome));
  members.name("wanted");
  if (array.wanted)
    append_wanted(out, *array.wanted);
  else
    out += "null";
  members.name("map");
  append_map(out, array.map);
  members.name("loss");
  if (array.loss)
    append_loss(out, *array.loss);
  else
    out += "null";
  members.name("skew");
  if (array.skew)
    append_skew(out, *array.skew);
  else
    out += "null";
  members.end();
}

void append_statistics(std::string& out, const LaneStatistics& all) {
  JsonMembers members(out);
  members.count("lanes", all.lanes);
  members.count("lanes_within", all.lanes_within);
  members.count("arrays", all.arrays);
  members.count("arrays_within", all.arrays_within);
  members.number("arrays_within_expected", all.expected_arrays);
  members.end();
}

}  // namespace

std::string arrays_json(const ArrayCheck& check, const Leftovers& left) {
  std::string out;
  JsonMembers members(out);
  members.number("format", 1);
  members.name("arrays");
  append_json_list(out, check.arrays, [&](const JudgedArray& array) { append_array(out, array); });
  members.name("statistics");
  append_statistics(out, check.statistics);
  finish_check(out, members, left);
  return out;
}

}  // namespace strandbook
