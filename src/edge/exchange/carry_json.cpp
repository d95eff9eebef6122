#include "edge/exchange/carry_json.hpp"

namespace strandbook {
namespace {

void append_source(JsonMembers& members, const RuleRef& source) {
  members.text("source", describe(source));
  members.text("standing", text_of(source.standing));
  members.text("note", source.note);
}

template <class Unit>
double plain(const Unit& unit) {
  if constexpr (std::is_same_v<Unit, double>)
    return unit;
  else
    return unit.value;
}

/// Numbers of a row, one after the other, those that are there.
class Numbers {
 public:
  explicit Numbers(std::string& out) : out_(out) { out_ += '['; }
  template <class Unit>
  void add(const char* what, const char* unit, const std::optional<Sourced<Unit>>& number) {
    if (!number) return;
    if (out_.back() != '[') out_ += ',';
    JsonMembers members(out_);
    members.text("what", what);
    members.number("value", plain(number->value));
    members.text("unit", unit);
    append_source(members, number->source);
    members.end();
  }
  void end() { out_ += ']'; }

 private:
  std::string& out_;
};

std::string numbers_json(const Application& row) {
  std::string out;
  Numbers numbers(out);
  numbers.add("reach", "m", row.max_length);
  numbers.add("largest loss of the channel", "dB", row.max_loss);
  numbers.add("least loss of the channel", "dB", row.min_loss);
  numbers.add("connections and splices", "dB", row.connection_allocation);
  numbers.add("additional loss allowed", "dB", row.additional_loss_allowed);
  numbers.add("power budget", "dB", row.power_budget);
  numbers.add("penalties", "dB", row.penalties);
  numbers.add("cable attenuation, at most", "dB/km", row.cable_class);
  numbers.add("return loss of the channel, at least", "dB", row.channel_return_loss_min);
  numbers.add("reflectance of each connection, at most", "dB", row.discrete_reflectance_max);
  numbers.add("skew, at most", "ns", row.skew_max_ns);
  numbers.add("skew variation, at most", "ns", row.skew_variation_max_ns);
  numbers.add("launch power, least", "dBm", row.window.launch_min);
  numbers.add("launch power, most", "dBm", row.window.launch_max);
  numbers.add("receive power, least", "dBm", row.window.receive_min);
  numbers.add("receive power, most", "dBm", row.window.receive_max);
  numbers.add("damage to the receiver above", "dBm", row.window.damage);
  numbers.end();
  return out;
}

void append_line(std::string& out, const CarryLine& line) {
  const auto maybe = [](JsonMembers& members, const char* key, const std::optional<double>& value) {
    if (value)
      members.number(key, *value);
    else
      members.raw(key, "null");
  };
  JsonMembers members(out);
  members.text("what", line.what);
  members.text("unit", line.unit);
  members.quantity("at_nm", line.at);
  members.quantity("read_nm", line.read);
  maybe(members, "found", line.found);
  maybe(members, "allowed", line.allowed);
  maybe(members, "margin", line.margin);
  members.truth("informative", line.informative);
  append_source(members, line.source);
  members.end();
}

void append_remedy(std::string& out, const Remedy& remedy) {
  JsonMembers members(out);
  members.text("what", text_of(remedy.kind));
  members.number("saves_db", remedy.saves.value);
  members.number("shorter_m", remedy.shorter.value);
  members.truth("enough", remedy.enough);
  members.end();
}

std::string reasons_json(const CarryReasons& reasons, const Application& row) {
  std::string out = "[";
  for (std::size_t i = 0; i < carry_reason_count; ++i) {
    const auto reason = static_cast<CarryReason>(i);
    if (!reasons.has(reason)) continue;
    if (out.size() > 1) out += ',';
    JsonMembers members(out);
    members.text("code", code_of(reason));
    members.text("words", reason == CarryReason::needs_more ? "It needs " + row.needs + "."
                                                            : std::string(sentence_of(reason)));
    members.end();
  }
  return out + "]";
}

}  // namespace

std::string application_json(const Application& row) {
  std::string out;
  JsonMembers members(out);
  members.text("application", row.name);
  members.text("table", row.table);
  members.text("family", text_of(row.family));
  members.text("fibre", row.fibre);
  members.name("wavelengths_nm");
  append_json_list(out, row.wavelengths, [&](Nanometres at) { append_decimal(out, at.value, 2); });
  members.text("wavelength_use", text_of(row.use));
  members.count("lanes", static_cast<std::size_t>(row.lanes));
  members.count("strands", static_cast<std::size_t>(row.strands));
  members.text("connector", row.connector);
  members.maybe_text("needs", row.needs);
  append_source(members, row.source);
  members.raw("numbers", numbers_json(row));
  members.name("notes");
  append_json_list(out, row.notes, [&](const std::string& note) { append_json_text(out, note); });
  members.end();
  return out;
}

void append_answer_members(JsonMembers& members, const AnswerContext& context, const CarryOutcome& outcome) {
  const Application& row = context.row;
  members.text("application", row.name);
  members.text("table", row.table);
  members.text("family", text_of(row.family));
  members.text("fibre", row.fibre);
  members.count("strands_used", static_cast<std::size_t>(row.strands));
  members.count("lanes", static_cast<std::size_t>(row.lanes));
  members.text("connector", row.connector);
  members.text("carries", text_of(outcome.carries));
  members.raw("reasons", reasons_json(outcome.reasons, row));
  std::string list;
  append_json_list(list, working_of(row, context.channel, outcome),
                   [&](const CarryLine& line) { append_line(list, line); });
  members.raw("working", list);
  members.quantity("room_m", room_of(context.channel, outcome, row));
  members.maybe_text("needs", row.needs);
  members.number("attenuator_db", outcome.attenuator.value);
  list.clear();
  append_json_list(list, remedies_of(context.channel, outcome, context.parts),
                   [&](const Remedy& remedy) { append_remedy(list, remedy); });
  members.raw("remedies", list);
}

void append_link_answer(std::string& out, const CarryGround& ground, const LinkAnswer& answer) {
  const auto behind = channel_behind(ground, answer);
  const Schedule& schedule = ground.assessment.schedule;
  JsonMembers members(out);
  members.text("link", link_name(schedule[answer.group.strands.front()]));
  append_answer_members(members, {ground.rows[answer.row], behind->channel, behind->parts}, answer.outcome);
  members.name("groups");
  append_json_list(out, answer.groups, [&](std::uint32_t count) { out += std::to_string(count); });
  members.name("worst_strands");
  append_json_list(out, answer.group.strands,
                   [&](std::uint32_t strand) { append_json_text(out, schedule[strand].strand); });
  members.end();
}

}  // namespace strandbook
