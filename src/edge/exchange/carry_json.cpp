#include "edge/exchange/carry_json.hpp"

#include "edge/exchange/test_json.hpp"

namespace strandbook {
namespace {

void append_source_with_note(JsonMembers& members, const RuleRef& source) {
  append_source(members, source);
  members.text("note", source.note);
}

std::string numbers_json(const Application& row) {
  std::string out;
  append_json_list(out, numbers_of(row), [&](const NamedNumber& number) {
    JsonMembers members(out);
    members.text("what", number.what);
    members.number("value", number.value);
    members.text("unit", number.unit);
    append_source_with_note(members, *number.source);
    members.end();
  });
  return out;
}

void append_line(std::string& out, const CarryLine& line) {
  JsonMembers members(out);
  members.text("what", line.what);
  members.text("unit", line.unit);
  members.quantity("at_nm", line.at);
  members.quantity("read_nm", line.read);
  members.maybe_number("found", line.found);
  members.maybe_number("allowed", line.allowed);
  members.maybe_number("margin", line.margin);
  members.truth("informative", line.informative);
  append_source_with_note(members, line.source);
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
  append_source_with_note(members, row.source);
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
