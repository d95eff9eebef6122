#pragma once
// The report of a judged job as files in a folder.

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "edge/report/report.hpp"
#include "workflow/judge_job.hpp"

namespace strandbook {

/// The languages a report can be written in.
enum class Language { english, german };
/// "en", "de"; a region may follow ("de-AT"). Nothing where it is another.
std::optional<Language> parse_language(std::string_view tag);
/// Its words and the forms of its numbers and dates.
ReportLanguage report_language(Language language);

/// Leaves only a part of the job, and notes in the options what was left out. Nothing happens where the scope
/// is the whole job.
Result<Done> narrow_to(JudgedWork& work, const Scope& scope, ReportOptions& options);

/// Reads a picture for the cover.
Result<CoverPicture> read_cover_picture(const std::string& path);

/// Writes report.pdf, tests.xlsx, tests.csv and assessment.json into the folder, or `only` one of "pdf",
/// "xlsx", "csv", "json", or besides these "certificates" (certificates.pdf) and "labels" (labels.pdf). Each
/// file is there whole or not at all. Returns what was written. `progress` is asked once for each file's
/// path.
Result<std::vector<std::string>> hand_over(const JudgedWork& work, ReportOptions options,
                                           const std::string& folder, const std::string& only,
                                           const std::function<Progress(const std::string&)>& progress = {});

}  // namespace strandbook
