// A strand: its tests, its history, what a reading would come to, what was read last.

#include <algorithm>

#include "front/service/api.hpp"
#include "front/service/entries_in.hpp"

namespace strandbook {
namespace {

/// Ids of the findings that concern a test, as a JSON list.
std::string findings_of(const Findings& findings, std::uint32_t test) {
  std::string out = "[";
  for (const Finding& finding : findings)
    if (std::binary_search(finding.tests.begin(), finding.tests.end(), test)) {
      if (out.size() > 1) out += ',';
      append_json_text(out, finding.id);
    }
  return out + "]";
}

void append_history(std::string& out, const HistoryEntry& entry) {
  JsonMembers members(out);
  members.text("fact", text_of(entry.fact.id));
  members.text("time", time_text(entry.fact.time_ms));
  members.text("kind", text_of(entry.fact.kind));
  members.text("summary", entry.summary);
  members.text("standing", text_of(entry.standing));
  members.maybe_text("corrects", entry.corrects ? text_of(*entry.corrects) : std::string{});
  members.maybe_text("corrected_by", entry.corrected_by ? text_of(*entry.corrected_by) : std::string{});
  members.maybe_text("person", entry.person);
  members.maybe_text("reason", entry.reason);
  members.raw("values", entry.fact.body.empty() ? "{}" : entry.fact.body);
  members.end();
}

std::uint32_t strand_named(const JobView& view, const std::string& link, const std::string& strand) {
  if (view.judgement != nullptr) return view.judgement->find(link, strand);
  return StrandIndex(view.schedule).find(link, strand);
}

/// The strand with its tests, without its history; nothing where there is no such strand.
std::string strand_view_json(ServedJob& job, const std::string& link, const std::string& strand,
                             const std::vector<HistoryEntry>& past) {
  std::string out;
  job.live->look_at_findings([&](const JobView& view, const Findings& findings) {
    const std::uint32_t index = strand_named(view, link, strand);
    if (index == no_strand) return;
    JsonMembers members(out);
    members.count("revision", view.revision);
    members.raw("strand", strand_json(view, index));
    members.name("tests");
    out += '[';
    if (view.judgement != nullptr) {
      std::uint32_t test = view.judgement->first_test(index);
      for (const JudgedTest& each : view.judgement->tests_of(index)) {
        if (out.back() != '[') out += ',';
        out += test_json(view, each, findings_of(findings, test++));
      }
    }
    out += ']';
    members.name("history");
    append_json_list(out, past, [&](const HistoryEntry& entry) { append_history(out, entry); });
    members.end();
  });
  return out;
}

void append_direction_and_value(JsonMembers& members, const Reading& reading) {
  members.quantity("wavelength_nm", stated(reading.wavelength));
  members.choice("direction", reading.direction);
  const auto value = [&](const char* key, ReadingKind kind) {
    if (reading.kind == kind)
      members.number(key, reading.value);
    else
      members.raw(key, "null");
  };
  value("power_dbm", ReadingKind::power);
  value("loss_db", ReadingKind::loss);
}

/// Outcome of the test that this reading counts for, or null.
std::string outcome_json(const JobView& view, std::uint32_t row) {
  const Assessment& all = view.judgement->all();
  const std::uint32_t strand = all.strand_of[row];
  if (strand == no_strand) return "null";
  for (const JudgedTest& test : view.judgement->tests_of(strand))
    if (test.reading == row) return text_json(text_of(test.outcome));
  return "null";
}

void append_recent(std::string& out, const JobView& view, std::uint32_t row) {
  const Reading& reading = view.judgement->all().readings.rows[row];
  JsonMembers members(out);
  members.text("fact", text_of(view.reading_facts[row]));
  members.text("link", reading.link);
  members.text("strand", reading.strand);
  append_direction_and_value(members, reading);
  members.truth("no_light", reading.kind == ReadingKind::no_light);
  members.maybe_text("time", reading.has_time ? iso_text(reading.time) : std::string{});
  members.maybe_text("operator", reading.operator_name);
  members.raw("outcome", outcome_json(view, row));
  members.end();
}

std::size_t limit_asked(const Request& request) {
  const auto asked = request.query.find("limit");
  if (asked == request.query.end()) return 50;
  std::size_t limit = 0;
  for (const char c : asked->second)
    limit = c >= '0' && c <= '9' && limit < 1000 ? limit * 10 + static_cast<std::size_t>(c - '0') : 1000;
  return limit;
}

void append_unmatched(std::string& out, const JobView& view, const UnmatchedReading& row) {
  const Assessment& all = view.judgement->all();
  const Reading& reading = all.readings.rows[row.reading];
  JsonMembers members(out);
  members.text("fact", text_of(view.reading_facts[row.reading]));
  members.raw("place", place_json(all.readings.place_of(reading)));
  members.text("link", reading.link);
  members.text("strand", reading.strand);
  append_direction_and_value(members, reading);
  members.text("why", row.why);
  members.maybe_text("proposal", row.proposal);
  members.maybe_text("alike_by", row.by);
  members.end();
}

}  // namespace

Response get_strand(Service& service, const Request& request, const Captures& captures) {
  return with_job(service, captures, [&](ServedJob& job) {
    const std::string link = query_text(request, "link");
    const std::string strand = query_text(request, "strand");
    const auto past = job.live->history(link, strand);
    if (!past) return problem_response(past.problem(), conflict);
    std::string out = strand_view_json(job, link, strand, *past);
    if (out.empty())
      return problem_response({{}, "strand " + link + "/" + strand, "a strand of the schedule", ""},
                              not_found);
    return json_response(std::move(out));
  });
}

Response post_preview(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const Result<ReadingIn> in = reading_in(std::move(*fields), EntryNeed::preview);
  if (!in) return problem_response(in.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    std::string out;
    const Result<Done> done =
        job.live->preview(in->reading, [&](const JobView& view, const JudgedTest& test) {
          out = "{\"test\":" + test_json(view, test, "[]") + "}";
        });
    if (!done) return problem_response(done.problem(), conflict);
    return json_response(std::move(out));
  });
}

Response get_readings(Service& service, const Request& request, const Captures& captures) {
  const std::size_t limit = limit_asked(request);
  if (limit < 1 || limit > 500)
    return problem_response({{}, "limit " + query_text(request, "limit"), "1 to 500", ""}, bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    std::string out;
    job.live->look([&](const JobView& view) {
      const std::size_t total = view.judgement == nullptr ? 0 : view.reading_facts.size();
      JsonMembers members(out);
      members.count("revision", view.revision);
      members.count("total", view.reading_facts.size());
      members.name("readings");
      out += '[';
      for (std::size_t back = 0; back < std::min(limit, total); ++back) {
        if (back > 0) out += ',';
        append_recent(out, view, static_cast<std::uint32_t>(total - 1 - back));
      }
      out += ']';
      members.end();
    });
    return json_response(std::move(out));
  });
}

Response get_leftovers(Service& service, const Request&, const Captures& captures) {
  constexpr std::size_t most = 1000;
  return with_job(service, captures, [](ServedJob& job) {
    std::string out;
    job.live->look([&](const JobView& view) {
      const auto unmatched =
          view.judgement == nullptr ? std::vector<UnmatchedReading>{} : view.judgement->all().unmatched;
      JsonMembers members(out);
      members.count("revision", view.revision);
      members.count("unread_total", view.unread.size());
      members.name("unread");
      append_json_list(out, first_of(view.unread, most),
                       [&](const Problem& row) { out += left_row_json(row); });
      members.count("unmatched_total", unmatched.size());
      members.name("unmatched");
      append_json_list(out, first_of(unmatched, most),
                       [&](const UnmatchedReading& row) { append_unmatched(out, view, row); });
      members.end();
    });
    return json_response(std::move(out));
  });
}

}  // namespace strandbook
