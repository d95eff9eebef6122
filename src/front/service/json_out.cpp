#include "front/service/json_out.hpp"

#include <array>

#include "workflow/job_map.hpp"

namespace strandbook {

Response json_response(std::string body, int status) {
  Response response;
  response.status = status;
  response.body = std::make_shared<const std::string>(std::move(body));
  return response;
}

Response no_content() {
  Response response;
  response.status = 204;
  response.type.clear();
  return response;
}

std::string place_json(const Place& place) {
  if (place == Place{}) return "null";
  std::string out;
  JsonMembers members(out);
  members.maybe_text("file", place.file);
  members.maybe_text("sheet", place.sheet);
  members.raw("row", place.row == 0 ? "null" : std::to_string(place.row));
  members.maybe_text("column", place.column);
  members.end();
  return out;
}

std::string problem_json(const Problem& problem) {
  std::string out;
  JsonMembers members(out);
  members.text("what", describe(problem));
  members.text("found", problem.found);
  members.text("expected", problem.wanted);
  members.text("advice", problem.advice);
  members.raw("place", place_json(problem.at));
  members.end();
  return out;
}

std::string error_json(const Problem& problem) { return "{\"error\":" + problem_json(problem) + "}"; }

Response problem_response(const Problem& problem, int status) {
  return json_response(error_json(problem), status);
}

std::string text_json(std::string_view text) {
  std::string out;
  append_json_text(out, text);
  return out;
}

std::string revision_json(std::uint64_t revision) {
  return "{\"revision\":" + std::to_string(revision) + "}";
}

std::string time_text(std::int64_t ms) { return iso_text({ms / 1000, true, true, true}); }

std::string left_row_json(const Problem& row) {
  std::string out;
  JsonMembers members(out);
  members.raw("place", place_json(row.at));
  members.text("found", row.found);
  members.text("expected", row.wanted);
  members.text("advice", row.advice);
  members.end();
  return out;
}

Summary summary_of(const JobView& view) {
  return view.judgement == nullptr ? Summary{} : view.judgement->all().summary;
}

std::string_view code_of(Reason reason) {
  constexpr std::array<std::string_view, 17> codes{"none",
                                                   "no_reading",
                                                   "no_light",
                                                   "no_reference",
                                                   "ambiguous_reference",
                                                   "reference_after_reading",
                                                   "reference_expired",
                                                   "reference_setting_differs",
                                                   "reference_instrument_differs",
                                                   "reference_drifted",
                                                   "reference_disproved",
                                                   "method_unstated",
                                                   "methods_differ",
                                                   "impossible_value",
                                                   "no_limit",
                                                   "light_crossed",
                                                   "light_lost"};
  static_assert(static_cast<std::size_t>(Reason::light_lost) + 1 == codes.size());
  return codes[static_cast<std::size_t>(reason)];
}

std::string rule_line_json(const RuleSet& rule) {
  std::string out;
  JsonMembers members(out);
  members.text("id", rule.id);
  members.text("title", rule.title);
  members.text("document", rule.document);
  members.text("edition", rule.edition);
  members.text("note", rule.note);
  members.truth("own", rule.id.starts_with("own:"));
  members.end();
  return out;
}

std::string test_json(const JobView& view, const JudgedTest& test, std::string_view findings) {
  const Assessment& all = view.judgement->all();
  std::string out;
  JsonMembers members(out);
  append_test_members(members, all, test, findings);
  if (test.limit != nothing)
    out += limit_members(all.limits[test.limit]);
  else
    members.raw("working", "[]");
  members.text("reason_code", code_of(test.reason));
  const auto fact = [&](const char* key, std::uint32_t row, const std::vector<Uuid>& facts) {
    members.maybe_text(key, row < facts.size() ? text_of(facts[row]) : std::string{});
  };
  fact("reading_fact", test.reading, view.reading_facts);
  fact("reference_fact", test.reference, view.reference_facts);
  members.end();
  return out;
}

std::string strand_json(const JobView& view, std::uint32_t index) {
  const ScheduledStrand& strand = view.schedule[index];
  std::string out;
  JsonMembers members(out);
  members.count("index", index);
  members.maybe_text("fact", index < view.strand_facts.size() ? text_of(view.strand_facts[index]) : "");
  members.text("link", link_name(strand));
  members.text("strand", strand.strand);
  members.text("cable", strand.cable);
  members.text("building", strand.building);
  members.text("end_a", strand.end_a);
  members.text("end_b", strand.end_b);
  members.choice("fibre", strand.fibre);
  members.maybe_text("plant", strand.plant == Plant::unstated ? std::string_view{} : text_of(strand.plant));
  members.quantity("length_m", strand.length);
  members.raw("connections", strand.connections ? std::to_string(*strand.connections) : "null");
  members.raw("splices", strand.splices ? std::to_string(*strand.splices) : "null");
  members.maybe_text("rule", strand.rule);
  members.quantity("limit_db", strand.fixed_limit);
  members.choice("reference_method", strand.method);
  members.choice("cord_grade", strand.cords);
  members.choice("configuration", strand.configuration);
  members.name("wavelengths_nm");
  append_json_list(out, strand.wavelengths, [&](Nanometres each) { append_decimal(out, each.value, 6); });
  members.choice("directions", strand.directions);
  members.maybe_text("doubt", strand.doubt);
  members.raw("place", place_json(strand.at));
  members.end();
  return out;
}

}  // namespace strandbook
