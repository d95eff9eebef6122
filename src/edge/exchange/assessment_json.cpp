#include <fmt/format.h>

#include "edge/exchange/assessment_out.hpp"
#include "edge/exchange/judged_traces_json.hpp"
#include "edge/exchange/output_file.hpp"
#include "edge/exchange/test_json.hpp"

namespace strandbook {
namespace {

constexpr std::size_t flush_at = 1U << 20;

void append_rule(std::string& out, const RuleSet& rule) {
  JsonMembers members(out);
  members.text("id", rule.id);
  members.text("title", rule.title);
  members.text("document", rule.document);
  members.text("edition", rule.edition);
  members.end();
}

void append_rules(JsonMembers& members, std::string& out, const Assessment& all) {
  members.name("rule");
  if (all.rules.empty())
    out += "null";
  else
    append_rule(out, *all.rules.front());
  members.name("rules");
  out += '[';
  for (const RuleSet* rule : all.rules) {
    if (rule != all.rules.front()) out += ',';
    append_rule(out, *rule);
  }
  out += ']';
  members.text("guard", text_of(all.guard));
}

/// Ids of the findings that concern each test, as JSON lists.
std::vector<std::string> finding_lists(const JudgedJob& job) {
  std::vector<std::string> lists(job.assessment.tests.size());
  for (const Finding& finding : job.findings)
    for (const std::uint32_t test : finding.tests) {
      std::string& list = lists[test];
      list += list.empty() ? "[" : ",";
      append_json_text(list, finding.id);
    }
  for (std::string& list : lists)
    if (!list.empty()) list += ']';
  return lists;
}

class JobWriter {
 public:
  JobWriter(const JudgedJob& job, OutputFile& file) : job_(job), all_(job.assessment), file_(file) {
    for (const Limit& limit : all_.limits) limit_members_.push_back(limit_members(limit));
    finding_lists_ = finding_lists(job);
  }

  bool write(const Progress& progress) {
    JsonMembers members(out_);
    members.number("format", 1);
    members.maybe_text("job", job_.name);
    append_rules(members, out_, all_);
    members.raw("summary", summary_json(all_.summary));
    members.name("tests");
    if (!append_tests(progress)) return false;
    members.name("findings");
    append_list(job_.findings, [this](const Finding& each) { append_finding(each); });
    members.name("unread_rows");
    append_list(job_.unread_rows, [this](const Problem& each) { append_unread(each); });
    members.name("unmatched_readings");
    append_list(all_.unmatched, [this](const UnmatchedReading& each) { append_unmatched(each); });
    members.name("calibrations");
    append_list(all_.records.calibrations, [this](const Calibration& each) { append_calibration(each); });
    members.name("light_paths");
    append_list(all_.records.light_paths, [this](const LightPath& each) { append_light_path(each); });
    members.name("splice_attempts");
    append_list(all_.records.splice_attempts,
                [this](const SpliceAttempt& each) { append_splice_attempt(each); });
    members.name("traces");
    append_list(job_.traces, [this](const JudgedTraces& each) { append_traces(each); });
    members.name("import_notes");
    append_list(job_.notes, [this](const ImportNote& each) {
      JsonMembers note(out_);
      note.text("file", each.file);
      note.maybe_text("sheet", each.sheet);
      note.text("text", each.text);
      note.end();
    });
    members.end();
    out_ += '\n';
    file_.write(out_);
    return true;
  }

 private:
  template <class List, class Append>
  void append_list(const List& list, Append append) {
    out_ += '[';
    bool first = true;
    for (const auto& each : list) {
      if (!first) out_ += ",\n";
      first = false;
      append(each);
    }
    out_ += ']';
  }

  bool append_tests(const Progress& progress) {
    out_ += "[\n";
    for (std::size_t i = 0; i < all_.tests.size(); ++i) {
      if (i > 0) out_ += ",\n";
      append_test(i);
      if (out_.size() < flush_at) continue;
      file_.write(out_);
      out_.clear();
      if (progress && !progress(static_cast<double>(i) / static_cast<double>(all_.tests.size())))
        return false;
    }
    out_ += ']';
    return true;
  }

  void append_test(std::size_t index) {
    const JudgedTest& test = all_.tests[index];
    JsonMembers members(out_);
    append_test_members(members, all_, test, finding_lists_[index].empty() ? "[]" : finding_lists_[index]);
    if (test.limit != nothing)
      out_ += limit_members_[test.limit];
    else
      members.raw("working", "[]");
    members.end();
  }

  void append_finding(const Finding& finding) {
    JsonMembers members(out_);
    append_finding_members(members, out_, finding);
    members.name("tests");
    append_list(finding.tests, [this](std::uint32_t test) { append_decimal(out_, test, 0); });
    members.end();
  }

  void append_unread(const Problem& row) {
    JsonMembers members(out_);
    append_place(members, row.at);
    members.text("found", row.found);
    members.text("expected", row.wanted);
    members.maybe_text("advice", row.advice);
    members.raw("kept", "true");
    members.end();
  }

  void append_calibration(const Calibration& calibration) {
    JsonMembers members(out_);
    append_place(members, calibration.at);
    members.text("instrument", calibration.instrument);
    members.maybe_text("kind", calibration.kind);
    members.maybe_text("certificate", calibration.certificate);
    members.text("valid_from", iso_text(calibration.from));
    members.text("valid_through", iso_text(calibration.through));
    members.end();
  }

  void append_light_path(const LightPath& path) {
    JsonMembers members(out_);
    append_place(members, path.at);
    members.text("in", path.in);
    members.maybe_text("out", path.out);
    members.maybe_text("time", path.time ? iso_text(*path.time) : std::string{});
    members.maybe_text("operator", path.operator_name);
    members.end();
  }

  void append_splice_attempt(const SpliceAttempt& attempt) {
    JsonMembers members(out_);
    members.text("link", attempt.link);
    members.text("strand", attempt.strand);
    members.number("at_m", attempt.from_a.value);
    members.count("attempt", static_cast<std::size_t>(attempt.attempt));
    members.maybe_text("method", attempt.method ? text_of(*attempt.method) : std::string_view{});
    members.maybe_text("time", attempt.time ? iso_text(*attempt.time) : std::string{});
    members.maybe_text("person", attempt.person);
    members.end();
  }

  void append_traces(const JudgedTraces& judged) {
    JsonMembers members(out_);
    add_judged_traces(members, out_, all_, judged);
    members.name("traces");
    append_json_list(out_, judged.traces, [&](std::uint32_t at) {
      JsonMembers trace(out_);
      add_held_trace(trace, all_.traces[at]);
      trace.end();
    });
    members.end();
  }

  void append_unmatched(const UnmatchedReading& row) {
    const Reading& reading = all_.readings.rows[row.reading];
    JsonMembers members(out_);
    append_place(members, all_.readings.place_of(reading));
    members.text("link", reading.link);
    members.text("strand", reading.strand);
    members.number("wavelength_nm", reading.wavelength.value);
    members.maybe_text("direction", reading.direction ? text_of(*reading.direction) : std::string_view{});
    if (reading.kind == ReadingKind::loss) members.number("loss_db", reading.value);
    if (reading.kind == ReadingKind::power) members.number("power_dbm", reading.value);
    members.text("why", row.why);
    members.maybe_text("proposal", row.proposal);
    members.maybe_text("alike_by", row.by);
    members.end();
  }

  const JudgedJob& job_;
  const Assessment& all_;
  OutputFile& file_;
  std::string out_;
  std::vector<std::string> limit_members_;
  std::vector<std::string> finding_lists_;
};

}  // namespace

std::string limit_json(const RuleSet& rule, const LimitQuestion& question, const Limit& limit) {
  std::string out;
  JsonMembers members(out);
  members.number("format", 1);
  members.text("rule", rule.id);
  members.number("wavelength_nm", question.wavelength.value);
  members.number("limit_db", limit.value.value);
  members.maybe_text("reference_method", question.method ? text_of(*question.method) : std::string_view{});
  out += limit_members(limit);
  members.end();
  return out;
}

Result<Done> write_assessment_json(const JudgedJob& job, const std::string& path, const Progress& progress) {
  Result<OutputFile> file = OutputFile::create(path);
  if (!file) return file.problem();
  if (!JobWriter(job, *file).write(progress)) return cancelled(path);
  return file->commit();
}

}  // namespace strandbook
