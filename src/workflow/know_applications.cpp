#include "workflow/know_applications.hpp"

#include <algorithm>
#include <cctype>

#include "edge/exchange/application_file.hpp"
#include "edge/exchange/connector_grade_file.hpp"
#include "edge/exchange/link_model_file.hpp"
#include "edge/exchange/test_windows_file.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {
namespace {

std::string folded(const std::string& name) {
  std::string bare;
  for (const char c : name)
    if (std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '+' || c == '.' || c == '/')
      bare += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return bare;
}

void add_once(std::vector<std::string>& names, const std::string& name) {
  if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

}  // namespace

CleanConnections KnownApplications::clean_connections() const {
  const auto mean = [this](const char* usual) {
    const AttenuationGrade* grade = attenuation_grade(grades_, usual);
    return grade == nullptr ? Decibels{} : grade->mean.value;
  };
  return {mean("Bm"), mean("C")};
}

Result<std::shared_ptr<const KnownApplications>> know_applications() {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  Result<ApplicationTable> rows = read_applications(*folder + "/applications");
  if (!rows) return rows.problem();
  Result<TestWindows> windows = read_test_windows(*folder + "/practice/test-windows.json");
  if (!windows) return windows.problem();
  Result<ConnectorGrades> grades = read_connector_grades(*folder + "/connector-grades/connector-grades.json");
  if (!grades) return grades.problem();
  const Result<LinkModelTable> models = read_link_models(*folder);
  if (!models) return models.problem();
  const LinkModelInputs& formula = models->rows.front().inputs;  // every row has the same attenuation formula
  const AttenuationShape shape{formula.attenuation_floor, formula.attenuation_per_nm};
  return std::shared_ptr<const KnownApplications>(
      std::make_shared<KnownApplications>(std::move(*rows), *windows, shape, std::move(*grades)));
}

const Application* row_over(const ApplicationTable& table, std::string_view name,
                            std::optional<FibreCategory> fibre) {
  const auto found = std::find_if(table.begin(), table.end(), [&](const Application& row) {
    const auto& held = row.categories;
    return row.name == name && (!fibre || std::find(held.begin(), held.end(), *fibre) != held.end());
  });
  return found == table.end() ? nullptr : &*found;
}

Result<std::vector<std::string>> applications_named(const ApplicationTable& table, const std::string& asked) {
  std::vector<std::string> same;
  std::vector<std::string> containing;
  const std::string wanted = folded(asked);
  for (const Application& row : table) {
    const std::string name = folded(row.name);
    if (name == wanted) add_once(same, row.name);
    if (!wanted.empty() && name.find(wanted) != std::string::npos) add_once(containing, row.name);
  }
  if (!same.empty()) return same;
  if (!containing.empty()) return containing;
  return Problem{{"--application", {}, 0, {}},
                 "\"" + asked + "\"",
                 "the name of an application or a part of it, such as 10GBASE-SR or 100G",
                 "strandbook applications lists them all."};
}

}  // namespace strandbook
