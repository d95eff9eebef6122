#pragma once
// The report (PDF) and the workbook (XLSX) of a judged job: what the owner gets in hand.

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "domain/diagnosis/scope.hpp"
#include "domain/link/instant.hpp"
#include "domain/problem/problem.hpp"
#include "domain/problem/progress.hpp"
#include "domain/readings/uncertainty.hpp"
#include "domain/units/length_unit.hpp"

namespace strandbook {

enum class Paper { a4, letter };

enum class DateForm {
  iso,        ///< 2026-04-05
  day_first,  ///< 05.04.2026
};

/// The language a report is written in; English as it stands. The words come from the caller: this folder
/// knows no catalogue.
struct ReportLanguage {
  using Said = std::function<std::string(std::string_view english)>;
  std::string tag = "en";  ///< BCP 47, goes into the file
  Said said;               ///< a sentence or a word of ours; null: it stays English
  Said said_of_cell;       ///< a text that may be a cell of a file
  char decimal_mark = '.';
  DateForm dates = DateForm::iso;
};

/// A picture for the cover, such as a company's sign.
struct CoverPicture {
  enum class Kind { png, jpeg };
  Kind kind = Kind::png;
  std::string bytes;  ///< the whole file, checked by `cover_picture`
  int width = 0;      ///< pixels
  int height = 0;
};

/// Reads a picture through once: its type by its first bytes, its size, and every pixel, so that a broken
/// file is refused here and not on the page. At most 4 MB and 4000 by 4000 pixels. `name` goes into the
/// Problem.
Result<CoverPicture> cover_picture(std::string bytes, const std::string& name);

/// What a report of a part of the job says of the rest.
struct PartOfJob {
  Scope scope;
  Extent whole;  ///< of the whole job
};

/// The levels of a trace: the first stands `first` from the connection at the trace's own end.
struct TraceSamples {
  Metres first;
  Metres step;
  std::vector<double> level_db;
};
/// Finds the samples of a trace; nothing where they cannot be read.
using SamplesOf = std::function<std::optional<TraceSamples>(const HeldTrace&)>;

/// What the judged job itself does not know. Texts may be empty.
struct ReportOptions {
  std::string title;
  std::string site;
  std::string client;
  std::string contractor;
  Paper paper = Paper::a4;
  LengthUnit length = LengthUnit::metres;
  ReportLanguage language;
  std::optional<PartOfJob> part;  ///< where the job was narrowed
  std::optional<CoverPicture> client_picture;
  std::optional<CoverPicture> contractor_picture;
  SamplesOf samples;  ///< null: traces are drawn as strips of events
  Instant created;    ///< moment of making, given by the caller: no clock is read here
  UncertaintyModel
      uncertainty;  ///< contributions behind every u, to be listed with their sources; may be empty
};

/// Writes the report beside `path` under a temporary name and then renames it: `path` holds the whole report
/// or what it held before. Same job and options, same bytes.
Result<Done> write_report_pdf(const JudgedJob& job, const ReportOptions& options, const std::string& path,
                              const Progress& progress = {});

/// Writes the workbook, in the same way. Limit, margin, probability and outcome are live formulas.
Result<Done> write_report_xlsx(const JudgedJob& job, const ReportOptions& options, const std::string& path,
                               const Progress& progress = {});

}  // namespace strandbook
