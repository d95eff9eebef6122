#include "edge/exchange/test_json.hpp"

namespace strandbook {
namespace {

std::string working_json(const Limit& limit) {
  std::string out;
  append_json_list(out, limit.working, [&](const LimitTerm& term) {
    JsonMembers members(out);
    members.text("term", term.term);
    members.number("count", term.count);
    members.number("each_db", term.each.value);
    members.number("total_db", term.total.value);
    append_source(members, term.source);
    members.end();
  });
  return out;
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

void append_source(JsonMembers& members, const RuleRef& source) {
  members.text("source", describe(source));
  members.text("standing", text_of(source.standing));
}

std::string summary_json(const Summary& summary) {
  std::string out;
  JsonMembers counts(out);
  counts.count("planned", summary.planned);
  for (const auto& [key, outcome] : {std::pair{"pass", Outcome::pass},
                                     {"conditional_pass", Outcome::conditional_pass},
                                     {"conditional_fail", Outcome::conditional_fail},
                                     {"fail", Outcome::fail},
                                     {"not_tested", Outcome::not_tested},
                                     {"invalid", Outcome::invalid}})
    counts.count(key, summary.count(outcome));
  counts.end();
  return out;
}

std::string evidence_json(const Finding& finding) {
  std::string out;
  JsonMembers members(out);
  for (const auto& [key, value] : finding.evidence) {
    if (const double* number = std::get_if<double>(&value))
      members.number(key.c_str(), *number);
    else
      members.text(key.c_str(), std::get<std::string>(value));
  }
  members.end();
  return out;
}

namespace {

void append_step(std::string& out, const NextStep& step) {
  JsonMembers members(out);
  members.text("action", step.action);
  members.text("cause", step.cause);
  members.number("share", step.share);
  members.number("minutes", step.minutes);
  members.end();
}

void append_picture(std::string& out, const Picture& picture) {
  JsonMembers members(out);
  members.text("kind", text_of(picture.kind));
  members.text("x", picture.x_name);
  members.text("y", picture.y_name);
  members.name("points");
  append_json_list(out, picture.points, [&](const Picture::Point& point) {
    JsonMembers each(out);
    each.number("x", point.x);
    each.number("y", point.y);
    each.truth("marked", point.marked);
    each.end();
  });
  members.name("levels");
  append_json_list(out, picture.levels, [&](const Picture::Level& level) {
    JsonMembers each(out);
    each.number("from", level.from);
    each.number("to", level.to);
    each.number("y", level.y);
    each.end();
  });
  members.end();
}

}  // namespace

void append_finding_members(JsonMembers& members, std::string& out, const Finding& finding) {
  members.text("id", finding.id);
  members.text("kind", finding.kind);
  members.maybe_text("about", finding.about);
  members.text("weight", text_of(finding.weight));
  members.text("summary", finding.summary);
  members.raw("evidence", evidence_json(finding));
  members.maybe_number("chance", finding.chance);
  members.text("advice", finding.advice);
  members.maybe_text("caution", finding.caution);
  members.name("steps");
  append_json_list(out, finding.steps, [&](const NextStep& step) { append_step(out, step); });
  members.name("picture");
  if (finding.picture)
    append_picture(out, *finding.picture);
  else
    out += "null";
}

std::string limit_members(const Limit& limit) {
  std::string out = ",\"working\":" + working_json(limit);
  out += rests_on_memory(limit) ? ",\"rests_on_memory\":true" : ",\"rests_on_memory\":false";
  out += ",\"notes\":";
  append_json_list(out, limit.notes, [&](const std::string& note) { append_json_text(out, note); });
  return out;
}

void append_test_members(JsonMembers& members, const Assessment& all, const JudgedTest& test,
                         std::string_view findings) {
  const ScheduledStrand& strand = all.schedule[test.strand];
  members.text("link", link_name(strand));
  members.text("strand", strand.strand);
  members.quantity("wavelength_nm", stated(test.wavelength));
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
