// References with their health, cord checks, findings.

#include <algorithm>

#include "front/service/api.hpp"
#include "front/service/entries_in.hpp"
#include "workflow/reference_work.hpp"
#include "workflow/see_finding.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_tests = 2000;

void append_reference(std::string& out, const JobView& view, std::size_t row,
                      const ReferenceStanding& standing) {
  const Reference& reference = view.references[row];
  JsonMembers members(out);
  members.text("fact", text_of(view.reference_facts[row]));
  members.maybe_text("reference", reference.id);
  members.text("kind", reference.kind == ReferenceKind::opening ? "opening" : "closing_check");
  members.number("wavelength_nm", reference.wavelength.value);
  members.quantity("meter_setting_nm", reference.meter_setting);
  members.number("power_dbm", reference.power.value);
  members.choice("method", reference.method);
  members.maybe_text("time", reference.time ? iso_text(*reference.time) : std::string{});
  members.maybe_text("source", reference.source);
  members.maybe_text("meter", reference.meter);
  members.maybe_text("cords", reference.cords);
  members.maybe_text("operator", reference.operator_name);
  members.text("state", standing.state);
  const auto seconds = [&](const char* key, const std::optional<std::int64_t>& value) {
    members.raw(key, value ? std::to_string(*value) : "null");
  };
  seconds("age_s", standing.health.age_s);
  seconds("valid_for_s",
          view.judgement == nullptr ? std::nullopt : view.judgement->settings().references.valid_for_s);
  members.quantity("change_db", standing.health.change);
  members.truth("closed", standing.health.closed);
  members.count("readings", standing.tests);
  members.end();
}

void append_cord_check(std::string& out, const Held<CordCheck>& held) {
  const CordCheck& check = held.value;
  JsonMembers members(out);
  members.text("fact", text_of(held.fact));
  members.text("cords", check.cords);
  members.number("wavelength_nm", check.wavelength.value);
  members.number("forward_db", check.forward.value);
  members.number("reversed_db", check.reversed.value);
  members.number("allowed_db", check.allowed.value);
  members.text("person", check.person);
  members.text("time", iso_text(check.time));
  members.text("outcome", holds(check) ? "pass" : "fail");
  members.end();
}

/// Indices, the latest first; those without a time last.
std::vector<std::size_t> latest_first(const std::vector<Reference>& references) {
  std::vector<std::size_t> order(references.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = order.size() - 1 - i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const auto& one = references[a].time;
    const auto& other = references[b].time;
    return one && (!other || one->seconds > other->seconds);
  });
  return order;
}

void append_test(std::string& out, const Assessment& all, const JudgedTest& test) {
  const ScheduledStrand& strand = all.schedule[test.strand];
  JsonMembers members(out);
  members.text("link", link_name(strand));
  members.text("strand", strand.strand);
  members.quantity("wavelength_nm", stated(test.wavelength));
  members.choice("direction", test.direction);
  members.quantity("loss_db", test.has_loss ? std::optional(test.loss) : std::nullopt);
  members.quantity("limit_db",
                   test.limit == nothing ? std::nullopt : std::optional(all.limits[test.limit].value));
  members.text("outcome", text_of(test.outcome));
  const bool timed = test.reading != nothing && all.readings.rows[test.reading].has_time;
  members.maybe_text("time", timed ? iso_text(all.readings.rows[test.reading].time) : std::string{});
  members.end();
}

void append_acknowledgement(JsonMembers& members, const std::optional<Acknowledgement>& seen) {
  if (!seen) return members.raw("acknowledged", "null");
  std::string out;
  JsonMembers said(out);
  said.text("person", seen->person);
  said.text("reason", seen->reason);
  said.text("time", time_text(seen->time_ms));
  said.end();
  members.raw("acknowledged", out);
}

void append_finding(std::string& out, const JobView& view, const Finding& finding) {
  const Assessment& all = view.judgement->all();
  const std::string key = key_of(finding);
  JsonMembers members(out);
  members.text("key", key);
  append_finding_members(members, out, finding);
  members.name("tests");
  append_json_list(out, first_of(finding.tests, most_tests),
                   [&](std::uint32_t test) { append_test(out, all, all.tests[test]); });
  members.count("tests_total", finding.tests.size());
  append_acknowledgement(members, acknowledgement_of(view.remarks, key));
  members.end();
}

}  // namespace

Response get_references(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    std::string out;
    job.live->look([&](const JobView& view) {
      const std::vector<ReferenceStanding> standings = standing_of_references(view, now_utc());
      JsonMembers members(out);
      members.count("revision", view.revision);
      members.name("references");
      append_json_list(out, latest_first(view.references),
                       [&](std::size_t row) { append_reference(out, view, row, standings[row]); });
      members.name("methods");
      append_json_list(out, method_words(), [&](const MethodWords& each) {
        JsonMembers method(out);
        method.text("method", text_of(each.method));
        method.text("counts", each.counts);
        method.count("cords", static_cast<std::size_t>(each.cords));
        method.end();
      });
      members.name("cord_checks");
      const std::vector<Held<CordCheck>> checks(view.cord_checks.rbegin(), view.cord_checks.rend());
      append_json_list(out, checks, [&](const auto& each) { append_cord_check(out, each); });
      members.end();
    });
    return json_response(std::move(out));
  });
}

Response get_findings(Service& service, const Request&, const Captures& captures) {
  return with_job(service, captures, [](ServedJob& job) {
    std::string out;
    job.live->look_at_findings([&](const JobView& view, const Findings& findings) {
      append_json_list(out, findings, [&](const Finding& each) { append_finding(out, view, each); });
    });
    return json_response(std::move(out));
  });
}

}  // namespace strandbook
