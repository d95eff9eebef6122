#include "edge/exchange/power_json.hpp"

#include "edge/exchange/check_json.hpp"

namespace strandbook {

void append_level(std::string& out, const CheckedLevel& each) {
  JsonMembers members(out);
  members.maybe_text("port", each.level.port);
  members.count("lane", static_cast<std::size_t>(each.level.lane));
  members.text("end", text_of(each.level.end));
  members.truth("no_light", each.level.kind == LevelKind::no_light);
  members.truth("lane_unused", each.level.kind == LevelKind::lane_unused);
  const bool known = each.level.kind == LevelKind::level;
  members.quantity("level_dbm", known ? std::optional(each.level.level) : std::nullopt);
  members.truth("predicted", each.predicted);
  members.text("outcome", text_of(each.judged.outcome));
  members.text("reason_code", code_of(each.judged.reason));
  members.text("reason", sentence_of(each.judged.reason));
  members.quantity("above_low_db", each.judged.above_low);
  members.quantity("below_high_db", each.judged.below_high);
  members.quantity("after_reserve_db", each.judged.after_reserve);
  members.number("attenuator_db", each.judged.attenuator.value);
  members.truth("unverified", each.judged.unverified);
  members.truth("average_only_rejects", each.window.average_only_rejects);
  const auto bound = [&](const char* key, const std::optional<Sourced<PowerDbm>>& number) {
    members.quantity(key, number ? std::optional(number->value) : std::nullopt);
  };
  bound("low_alarm_dbm", each.window.low_alarm);
  bound("high_alarm_dbm", each.window.high_alarm);
  const auto& source = each.window.low_alarm ? each.window.low_alarm : each.window.high_alarm;
  members.maybe_text("source", source ? describe(source->source) : std::string{});
  members.end();
}

std::string levels_json(const std::vector<CheckedLevel>& levels, const Leftovers& left) {
  std::string out;
  JsonMembers members(out);
  members.number("format", 1);
  members.name("levels");
  append_json_list(out, levels, [&](const CheckedLevel& each) { append_level(out, each); });
  finish_check(out, members, left);
  return out;
}

}  // namespace strandbook
