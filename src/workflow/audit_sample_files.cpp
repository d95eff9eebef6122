#include "edge/exchange/json_file.hpp"
#include "edge/exchange/json_members.hpp"
#include "edge/exchange/rule_reader.hpp"
#include "workflow/audit_sample.hpp"
#include "workflow/compare_recordings.hpp"

namespace strandbook {
namespace {

constexpr const char* generator_words = "the units with the smallest SHA-256 of seed TAB link TAB strand";

void append_unit_name(std::string& out, const UnitName& unit) {
  JsonMembers members(out);
  members.text("link", unit.link);
  members.text("strand", unit.strand);
  members.end();
}

void append_sample(JsonMembers& members, std::string& out, const DrawnSample& sample) {
  members.text("seed", sample.seed);
  members.text("generator", generator_words);
  members.text("unit", text_of(sample.unit));
  members.count("lot", sample.lot);
  members.count("size", sample.plan.size);
  members.count("accept", sample.plan.accept);
  members.text("how", sample.how);
  members.maybe_text("source", sample.source);
  members.maybe_number("good_share", sample.good);
  members.number("accepted_at_good", sample.accepted_at_good);
  members.number("share_accepted_with_10_percent", sample.poor_10);
  members.name("units");
  append_json_list(out, sample.units, [&](const UnitName& unit) { append_unit_name(out, unit); });
}

/// A cell of a delimited file: quotes where it needs them.
std::string csv_cell(const std::string& text) {
  if (text.find_first_of(",\"\r\n;") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

void append_audited_tests(std::string& out, const std::vector<std::uint32_t>& pairs, const AuditWork& work,
                          const std::vector<const RecordedTest*>& before) {
  append_json_list(out, pairs, [&](std::uint32_t at) {
    const TestPair& pair = work.judged.comparison.pairs[at];
    const RecordedTest& test = *before[at];
    JsonMembers members(out);
    members.text("strand", test.strand);
    members.number("wavelength_nm", test.wavelength.value);
    members.choice("direction", test.direction);
    members.number("recorded_db", test.loss.value_or(Decibels{}).value);
    members.number("change_db", pair.change.value);
    members.number("uncertainty_db", pair.uncertainty.value);
    members.number("adjusted_chance", pair.adjusted);
    members.end();
  });
}

}  // namespace

std::string sample_json(const DrawnSample& sample) {
  std::string out;
  JsonMembers members(out);
  members.number("format", 1);
  members.text("kind", "audit-sample");
  append_sample(members, out, sample);
  members.end();
  return out + "\n";
}

std::string sample_csv(const DrawnSample& sample) {
  std::string out = "link,strand\n";
  for (const UnitName& unit : sample.units) out += csv_cell(unit.link) + "," + csv_cell(unit.strand) + "\n";
  return out;
}

Result<DrawnSample> read_sample(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  RuleDesk desk(path);
  ObjectReader object(*root, desk);
  DrawnSample sample;
  constexpr NumberKind count_number{"", 0, 4e9};
  constexpr NumberKind plain_kind{"", 0, 1};
  if (plain_number(object.wanted("format"), count_number, desk) != 1 || object.text("kind") != "audit-sample")
    desk.tell(root->line, "no audit sample of format 1", "a file that strandbook sample draw wrote");
  sample.seed = object.text("seed");
  object.text("generator");
  const std::string unit = object.text("unit");
  sample.unit = unit == text_of(SampleUnit::link) ? SampleUnit::link : SampleUnit::strand;
  sample.lot = static_cast<std::uint32_t>(plain_number(object.wanted("lot"), count_number, desk));
  sample.plan.size = static_cast<std::uint32_t>(plain_number(object.wanted("size"), count_number, desk));
  sample.plan.accept = static_cast<std::uint32_t>(plain_number(object.wanted("accept"), count_number, desk));
  sample.how = object.text("how");
  if (const JsonNode* source = object.wanted("source")) sample.source = source->text;
  if (const JsonNode* good = object.wanted("good_share"); good != nullptr && good->kind == JsonKind::number)
    sample.good = good->number;
  sample.accepted_at_good = plain_number(object.wanted("accepted_at_good"), plain_kind, desk);
  sample.poor_10 = plain_number(object.wanted("share_accepted_with_10_percent"), plain_kind, desk);
  if (const JsonNode* units = object.wanted("units"))
    for (const JsonNode& item : units->items) {
      ObjectReader each(item, desk);
      const std::string link = each.text("link");
      sample.units.push_back({link, each.text("strand")});
      each.finish();
    }
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return sample;
}

std::string audit_json(const AuditWork& work) {
  std::string out;
  const AuditJudgement& judged = work.judged;
  JsonMembers members(out);
  members.number("format", 1);
  members.text("outcome", text_of(judged.outcome));
  members.count("bad", judged.bad);
  members.count("incomplete", judged.incomplete);
  members.count("most_bad_in_lot", judged.most_bad);
  members.number("confidence", judged.confidence);
  members.number("accepted_at_that_share", acceptance_probability(judged.plan, judged.lot, judged.most_bad));
  members.name("sample");
  JsonMembers sample(out);
  append_sample(sample, out, work.sample);
  sample.end();
  std::vector<const RecordedTest*> before;
  for (const TestPair& pair : judged.comparison.pairs) before.push_back(&judged.before.tests[pair.before]);
  members.name("units");
  append_json_list(out, judged.units, [&](const AuditedUnit& unit) {
    JsonMembers each(out);
    each.text("link", unit.name.link);
    each.text("strand", unit.name.strand);
    each.truth("confirmed", !unit.bad() && unit.complete());
    each.count("tests", unit.tests);
    each.count("measured", unit.measured);
    each.name("over_limit");
    append_audited_tests(out, unit.over_limit, work, before);
    each.name("differing");
    append_audited_tests(out, unit.differing, work, before);
    each.end();
  });
  members.name("moves");
  append_moves(out, judged.comparison.moves);
  members.end();
  return out;
}

}  // namespace strandbook
