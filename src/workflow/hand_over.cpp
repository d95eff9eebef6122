#include "workflow/hand_over.hpp"

#include <filesystem>
#include <functional>

#include "edge/exchange/assessment_out.hpp"

namespace strandbook {

Result<std::vector<std::string>> hand_over(const JudgedWork& work, ReportOptions options,
                                           const std::string& folder, const std::string& only,
                                           const std::function<Progress(const std::string&)>& progress) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error)
    return Problem{
        {folder, {}, 0, {}}, error.message(), "a folder that can be made", "Choose another folder."};
  options.uncertainty = work.practice.uncertainty;
  const JudgedJob& job = work.job;
  struct Form {
    const char* kind;
    const char* name;
    std::function<Result<Done>(const std::string&, const Progress&)> write;
  };
  const Form forms[] = {
      {"pdf", "report.pdf",
       [&](const auto& path, const auto& told) { return write_report_pdf(job, options, path, told); }},
      {"xlsx", "tests.xlsx",
       [&](const auto& path, const auto& told) { return write_report_xlsx(job, options, path, told); }},
      {"csv", "tests.csv",
       [&](const auto& path, const auto& told) { return write_assessment_csv(job, path, told); }},
      {"json", "assessment.json",
       [&](const auto& path, const auto& told) { return write_assessment_json(job, path, told); }},
  };
  std::vector<std::string> written;
  for (const Form& form : forms) {
    if (!only.empty() && only != form.kind) continue;
    const std::string path = (std::filesystem::path(folder) / form.name).string();
    if (const Result<Done> done = form.write(path, progress ? progress(path) : Progress{}); !done)
      return done.problem();
    written.push_back(path);
  }
  if (written.empty()) return Problem{{"--only", {}, 0, {}}, only, "pdf, xlsx, csv or json", ""};
  return written;
}

}  // namespace strandbook
