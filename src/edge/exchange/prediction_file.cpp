#include "edge/exchange/prediction_file.hpp"

#include <fmt/format.h>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr NumberKind probability_number{"1", 0.5, 0.9999};
constexpr NumberKind plug_share_number{"1", 0.01, 1};
constexpr NumberKind join_value{"dB", 0.001, 5};
constexpr NumberKind share_value{"1", 0.5, 0.9999};
constexpr NumberKind attenuation_value{"dB/km", 0.01, 20};
constexpr NumberKind minutes_spent{"min", 0, 600};
constexpr NumberKind hours_spent{"h", 0.25, 24};
constexpr NumberKind crew_people{"1", 1, 20};

Sourced<std::string> read_grade_name(ObjectReader& object, std::string_view key) {
  const JsonNode* node = object.wanted(key);
  if (node == nullptr) return {};
  ObjectReader grade(*node, object.desk());
  Sourced<std::string> name{grade.text_with_words("value"), read_source(grade)};
  grade.finish();
  return name;
}

void check_usual_grade(const Sourced<std::string>& name, FibreMode mode, const ConnectorGrades& known,
                       std::size_t line, RuleDesk& desk) {
  const AttenuationGrade* grade = attenuation_grade(known, name.value);
  if (grade != nullptr && grade->mode == mode) return;
  std::string offered;
  for (const AttenuationGrade& each : known.attenuation)
    if (each.mode == mode) offered += (offered.empty() ? "" : ", ") + each.name;
  desk.tell(line, fmt::format("grade \"{}\" for {}", name.value, text_of(mode)), "one of " + offered);
}

void read_usual_grades(ObjectReader& object, ComponentStatistics& parts) {
  const JsonNode* node = object.wanted("grades");
  if (node == nullptr) return;
  ObjectReader grades(*node, object.desk());
  parts.multimode_grade = read_grade_name(grades, "multimode");
  parts.single_mode_grade = read_grade_name(grades, "single-mode");
  grades.finish();
  check_usual_grade(parts.multimode_grade, FibreMode::multimode, parts.grades, node->line, object.desk());
  check_usual_grade(parts.single_mode_grade, FibreMode::single_mode, parts.grades, node->line, object.desk());
}

std::vector<AttenuationGrade> read_reference_join(ObjectReader& object) {
  RuleDesk& desk = object.desk();
  AttenuationGrade join;
  join.name = "reference";
  join.mode = wanted_choice(object, "mode", fibre_modes).value_or(FibreMode::single_mode);
  join.mean.value = {plain_number(object.wanted("mean"), join_value, desk)};
  join.most.value = {plain_number(object.wanted("most"), join_value, desk)};
  join.share.value = plain_number(object.wanted("share"), share_value, desk);
  tell_unit(object, "dB");
  join.mean.source = join.most.source = join.share.source = read_source(object);
  if (join.mean.value >= join.most.value)
    desk.tell(object.line(), "a mean that is not below \"most\"", "the mean below it");
  return {join};
}

std::vector<SpliceStatistics> read_splice_statistics(ObjectReader& object) {
  RuleDesk& desk = object.desk();
  SpliceStatistics splice;
  splice.mode = wanted_choice(object, "mode", fibre_modes).value_or(FibreMode::single_mode);
  splice.mean = {plain_number(object.wanted("mean"), join_value, desk)};
  splice.deviation = {plain_number(object.wanted("deviation"), join_value, desk)};
  tell_unit(object, "dB");
  splice.source = read_source(object);
  return {splice};
}

/// Rows of a job's own cable; they go before the usual ones.
std::vector<TypicalAttenuation> read_own_attenuation(ObjectReader& object) {
  RuleDesk& desk = object.desk();
  TypicalAttenuation row;
  row.fibres = read_choices(object.wanted("fibres"), fibre_categories, desk);
  row.wavelength = {plain_number(object.wanted("nm"), wavelength_number, desk)};
  row.typical = {plain_number(object.wanted("typical"), attenuation_value, desk)};
  row.deviation = {plain_number(object.wanted("deviation"), attenuation_value, desk)};
  row.source = read_source(object);
  return {row};
}

TestTimes read_test_times(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return {};
  ObjectReader object(*node, desk);
  TestTimes times;
  times.link_minutes = wanted_sourced<double>(object, "link", minutes_spent);
  times.strand_minutes = wanted_sourced<double>(object, "strand", minutes_spent);
  times.reading_minutes = wanted_sourced<double>(object, "reading", minutes_spent);
  times.reference_minutes = wanted_sourced<double>(object, "reference", minutes_spent);
  times.session_hours = wanted_sourced<double>(object, "session", hours_spent);
  times.retest_minutes = wanted_sourced<double>(object, "retest", minutes_spent);
  times.day_hours = wanted_sourced<double>(object, "day", hours_spent);
  times.people = wanted_sourced<double>(object, "people", crew_people);
  object.finish();
  return times;
}

Result<ComponentStatistics> statistics_of(const JsonNode& root, const std::string& name,
                                          ComponentStatistics parts) {
  RuleDesk desk(name);
  desk.owner = RuleOwner::own;  // a job may put its own numbers here
  desk.document = usual_losses;
  ObjectReader object(root, desk);
  object.maybe_text("note");
  read_usual_grades(object, parts);
  parts.reference_plug_share = wanted_sourced<double>(object, "reference_plug_share", plug_share_number);
  parts.reference_joins =
      read_table<AttenuationGrade>(object.wanted("reference_joins"), desk, read_reference_join);
  parts.splices = read_table<SpliceStatistics>(object.wanted("splices"), desk, read_splice_statistics);
  const auto own = read_table<TypicalAttenuation>(object.maybe("attenuation"), desk, read_own_attenuation);
  parts.attenuation.insert(parts.attenuation.begin(), own.begin(), own.end());
  parts.least_probability = wanted_sourced<double>(object, "least_probability", probability_number);
  parts.times = read_test_times(object.wanted("times"), desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return parts;
}

}  // namespace

Result<ComponentStatistics> read_prediction_text(std::string_view text, const std::string& name,
                                                 ComponentStatistics known) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return statistics_of(*root, name, std::move(known));
}

Result<ComponentStatistics> read_prediction_file(const std::string& path, ComponentStatistics known) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return statistics_of(*root, path, std::move(known));
}

}  // namespace strandbook
