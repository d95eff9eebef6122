#include "edge/exchange/connector_grade_file.hpp"

#include <fmt/format.h>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr NumberKind share_number{"1", 0.5, 0.9999};
constexpr NumberKind grade_return_loss_number{"dB", 10, 90};

AttenuationGrade read_attenuation_grade(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  AttenuationGrade grade;
  grade.name = object.text_with_words("grade");
  grade.mode = wanted_choice(object, "mode", fibre_modes).value_or(FibreMode::single_mode);
  grade.mean = wanted_sourced<Decibels>(object, "mean", joint_number);
  grade.most = wanted_sourced<Decibels>(object, "most", joint_number);
  grade.share = wanted_sourced<double>(object, "share", share_number);
  object.finish();
  if (grade.mean.value > grade.most.value)
    desk.tell(item.line, fmt::format("grade {}: a mean above \"most\"", grade.name), "the mean below it");
  return grade;
}

ReturnLossGrade read_return_loss_grade(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  ReturnLossGrade grade;
  grade.name = object.text_with_words("grade");
  grade.mode = wanted_choice(object, "mode", fibre_modes).value_or(FibreMode::single_mode);
  grade.least = wanted_sourced<Decibels>(object, "least", grade_return_loss_number);
  object.finish();
  return grade;
}

template <class Grade, class Read>
std::vector<Grade> read_grades(ObjectReader& object, std::string_view key, Read read) {
  RuleDesk& desk = object.desk();
  std::vector<Grade> grades;
  const JsonNode* list = object.wanted(key);
  if (list == nullptr) return grades;
  if (list->kind != JsonKind::list || list->items.empty())
    desk.tell(list->line, fmt::format("\"{}\": {}", key, words_of(*list)), "a list with rows");
  Once once;
  for (const JsonNode& item : list->items) {
    grades.push_back(read(item, desk));
    once.claim(fmt::format("grade {}, {}", grades.back().name, text_of(grades.back().mode)), item.line, desk);
  }
  return grades;
}

Result<ConnectorGrades> grades_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  ObjectReader object(root, desk);
  ConnectorGrades grades;
  object.text_with_words("title");
  desk.document = object.text_with_words("document");
  desk.edition = object.text("edition");
  object.maybe_text("note");
  grades.attenuation = read_grades<AttenuationGrade>(object, "attenuation", read_attenuation_grade);
  grades.return_loss = read_grades<ReturnLossGrade>(object, "return_loss", read_return_loss_grade);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return grades;
}

}  // namespace

Result<ConnectorGrades> read_connector_grades_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return grades_of(*root, name);
}

Result<ConnectorGrades> read_connector_grades(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return grades_of(*root, path);
}

}  // namespace strandbook
