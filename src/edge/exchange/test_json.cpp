#include "edge/exchange/test_json.hpp"

namespace strandbook {
namespace {

void append_source(JsonMembers& members, const RuleRef& source) {
  members.text("source", describe(source));
  members.text("standing", text_of(source.standing));
}

std::string working_json(const Limit& limit) {
  std::string out = "[";
  for (const LimitTerm& term : limit.working) {
    if (out.size() > 1) out += ',';
    JsonMembers members(out);
    members.text("term", term.term);
    members.number("count", term.count);
    members.number("each_db", term.each.value);
    members.number("total_db", term.total.value);
    append_source(members, term.source);
    members.end();
  }
  return out + "]";
}

void append_texts(std::string& out, const std::vector<std::string>& texts) {
  out += '[';
  for (const std::string& text : texts) {
    if (&text != &texts.front()) out += ',';
    append_json_text(out, text);
  }
  out += ']';
}

void append_loss(JsonMembers& members, const JudgedTest& test) {
  if (!test.has_loss) {
    for (const char* key : {"loss_db", "uncertainty_db", "expanded_uncertainty_db", "shared_uncertainty_db"})
      members.raw(key, "null");
    return;
  }
  members.number("loss_db", test.loss.value);
  members.number("uncertainty_db", test.standard_uncertainty.value);
  members.number("expanded_uncertainty_db", 2 * test.standard_uncertainty.value);
  members.number("shared_uncertainty_db", test.shared_uncertainty.value);
}

void append_margin(JsonMembers& members, const Assessment& all, const JudgedTest& test) {
  if (test.limit == nothing)
    members.raw("limit_db", "null");
  else
    members.number("limit_db", all.limits[test.limit].value.value);
  if (test.limit == nothing || !test.has_loss)
    members.raw("margin_db", "null");
  else
    members.number("margin_db", (all.limits[test.limit].value - test.loss).value);
  if (test.judged())
    members.number("conformance_probability", test.conformance);
  else
    members.raw("conformance_probability", "null");
}

void append_reason(JsonMembers& members, const Assessment& all, const JudgedTest& test) {
  std::string reason{sentence_of(test.reason)};
  if (test.reason == Reason::no_limit && test.limit_problem != nothing)
    reason += " " + describe(all.limit_problems[test.limit_problem]);
  members.maybe_text("reason", reason);
}

}  // namespace

std::string limit_members(const Limit& limit) {
  std::string out = ",\"working\":" + working_json(limit);
  out += rests_on_memory(limit) ? ",\"rests_on_memory\":true" : ",\"rests_on_memory\":false";
  out += ",\"notes\":";
  append_texts(out, limit.notes);
  return out;
}

void append_test_members(JsonMembers& members, const Assessment& all, const JudgedTest& test,
                         std::string_view findings) {
  const ScheduledStrand& strand = all.schedule[test.strand];
  members.text("link", strand.link.empty() ? strand.cable : strand.link);
  members.text("strand", strand.strand);
  if (test.wavelength.value > 0)
    members.number("wavelength_nm", test.wavelength.value);
  else
    members.raw("wavelength_nm", "null");
  members.choice("direction", test.direction);
  append_loss(members, test);
  append_margin(members, all, test);
  members.text("outcome", text_of(test.outcome));
  append_reason(members, all, test);
  if (test.reference != nothing) members.maybe_text("reference", all.references[test.reference].id);
  if (test.reading != nothing && all.readings.rows[test.reading].has_time)
    members.text("time", iso_text(all.readings.rows[test.reading].time));
  members.number("other_readings", test.other_readings);
  members.raw("findings", findings);
}

}  // namespace strandbook
