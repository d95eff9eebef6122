#include "workflow/check_cords.hpp"

#include "edge/exchange/connector_grade_file.hpp"
#include "edge/exchange/cord_table.hpp"
#include "edge/exchange/practice_file.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {
namespace {

Problem no_grade(const char* option, const std::string& name, const std::string& known) {
  return {{option, {}, 0, {}}, "grade \"" + name + "\"", "one of " + known, "Name one of these."};
}

std::string known_attenuation(const ConnectorGrades& grades) {
  std::string names;
  for (const AttenuationGrade& grade : grades.attenuation) names += (names.empty() ? "" : ", ") + grade.name;
  return names;
}

std::string known_return_loss(const ConnectorGrades& grades, FibreMode mode) {
  std::string names;
  for (const ReturnLossGrade& grade : grades.return_loss)
    if (grade.mode == mode) names += (names.empty() ? "" : ", ") + grade.name;
  return names + " for " + std::string(text_of(mode));
}

Result<CordWork> graded(const ConnectorGrades& grades, const std::string& grade,
                        const std::string& return_loss) {
  const AttenuationGrade* attenuation = attenuation_grade(grades, grade);
  if (attenuation == nullptr) return no_grade("--grade", grade, known_attenuation(grades));
  CordWork work;
  work.grade = *attenuation;
  if (return_loss.empty()) return work;
  const ReturnLossGrade* reflected = return_loss_grade(grades, return_loss, attenuation->mode);
  if (reflected == nullptr)
    return no_grade("--return-loss-grade", return_loss, known_return_loss(grades, attenuation->mode));
  work.return_loss = *reflected;
  return work;
}

}  // namespace

Result<CordWork> check_cords(const std::string& path, const std::string& grade,
                             const std::string& return_loss) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  const auto grades = read_connector_grades(*folder + "/connector-grades/connector-grades.json");
  if (!grades) return grades.problem();
  const Result<Practice> practice = read_practice(*folder + "/practice");
  if (!practice) return practice.problem();
  Result<CordWork> work = graded(*grades, grade, return_loss);
  if (!work) return work;
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  Result<ReadRows<Mating>> read = read_matings(*sheets);
  if (!read) return read.problem();
  work->matings = std::move(read->rows);
  work->left = {std::move(read->unread), std::move(read->notes)};
  work->judged = judge_cords(work->matings, work->grade, work->return_loss ? &*work->return_loss : nullptr,
                             practice->gain_allowance);
  return work;
}

bool all_hold(const CordWork& work) {
  const bool holds = work.judged.outcome == Outcome::pass || work.judged.outcome == Outcome::conditional_pass;
  return holds && work.left.unread.empty();
}

}  // namespace strandbook
