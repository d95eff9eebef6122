#include "workflow/hand_over.hpp"

#include <filesystem>
#include <functional>

#include "edge/exchange/assessment_out.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "edge/report/certificates.hpp"
#include "edge/texts/catalogue.hpp"
#include "workflow/read_traces.hpp"

namespace strandbook {
namespace {

std::optional<TraceSamples> samples_of(const JudgedWork& work, const HeldTrace& held) {
  const Result<std::string> bytes = work.files(held.kept);
  if (!bytes) return std::nullopt;
  Result<Trace> trace = trace_in(*bytes, held.at.file, held.number);
  if (!trace) return std::nullopt;
  const double first = trace->first.value - held.seen.start.value;
  return TraceSamples{{first}, trace->step, std::move(trace->level_db)};
}

}  // namespace

std::optional<Language> parse_language(std::string_view tag) {
  const std::string_view main = tag.substr(0, tag.find('-'));
  if (main == "en") return Language::english;
  if (main == "de") return Language::german;
  return std::nullopt;
}

ReportLanguage report_language(Language language) {
  switch (language) {
    case Language::english:
      return {};
    case Language::german: {
      const Catalogue& german = german_report_catalogue();
      return {"de", [&german](std::string_view text) { return german.translated(text); },
              [&german](std::string_view text) { return german.cell(text); }, ',', DateForm::day_first};
    }
  }
  return {};
}

Result<Done> narrow_to(JudgedWork& work, const Scope& scope, ReportOptions& options) {
  if (scope.whole()) return Done{};
  const Extent whole = extent_of(work.job);
  if (const Result<Done> done = narrow(work.job, scope); !done) return done.problem();
  options.part = PartOfJob{scope, whole};
  return Done{};
}

Result<CoverPicture> read_cover_picture(const std::string& path) {
  Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  return cover_picture(std::move(*bytes), path);
}

Result<std::vector<std::string>> hand_over(const JudgedWork& work, ReportOptions options,
                                           const std::string& folder, const std::string& only,
                                           const std::function<Progress(const std::string&)>& progress) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error)
    return Problem{
        {folder, {}, 0, {}}, error.message(), "a folder that can be made", "Choose another folder."};
  options.uncertainty = work.practice.uncertainty;
  if (work.files) options.samples = [&work](const HeldTrace& trace) { return samples_of(work, trace); };
  const JudgedJob& job = work.job;
  struct Form {
    bool usual;  ///< part of a handover that asks for nothing special
    const char* kind;
    const char* name;
    std::function<Result<Done>(const std::string&, const Progress&)> write;
  };
  const Form forms[] = {
      {true, "pdf", "report.pdf",
       [&](const auto& path, const auto& told) { return write_report_pdf(job, options, path, told); }},
      {true, "xlsx", "tests.xlsx",
       [&](const auto& path, const auto& told) { return write_report_xlsx(job, options, path, told); }},
      {true, "csv", "tests.csv",
       [&](const auto& path, const auto& told) { return write_assessment_csv(job, path, told); }},
      {true, "json", "assessment.json",
       [&](const auto& path, const auto& told) { return write_assessment_json(job, path, told); }},
      {false, "certificates", "certificates.pdf",
       [&](const auto& path, const auto& told) {
         return write_certificates_pdf(job, options, {}, path, told);
       }},
      {false, "labels", "labels.pdf",
       [&](const auto& path, const auto& told) {
         return write_labels_pdf(job, options, usual_labels(options.paper), {}, path, told);
       }},
  };
  std::vector<std::string> written;
  for (const Form& form : forms) {
    if (only.empty() ? !form.usual : only != form.kind) continue;
    const std::string path = (std::filesystem::path(folder) / form.name).string();
    if (const Result<Done> done = form.write(path, progress ? progress(path) : Progress{}); !done)
      return done.problem();
    written.push_back(path);
  }
  if (written.empty())
    return Problem{{"--only", {}, 0, {}}, only, "pdf, xlsx, csv, json, certificates or labels", ""};
  return written;
}

}  // namespace strandbook
