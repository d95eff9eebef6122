#pragma once
// The report (PDF) and the workbook (XLSX) of a judged job: what the owner gets in hand.

#include <string>

#include "domain/diagnosis/finding.hpp"
#include "domain/link/instant.hpp"
#include "domain/problem/problem.hpp"
#include "domain/problem/progress.hpp"
#include "domain/readings/uncertainty.hpp"
#include "domain/units/length_unit.hpp"

namespace strandbook {

enum class Paper { a4, letter };

/// What the judged job itself does not know. Texts may be empty.
struct ReportOptions {
  std::string title;
  std::string site;
  std::string client;
  std::string contractor;
  Paper paper = Paper::a4;
  LengthUnit length = LengthUnit::metres;
  Instant created;  ///< moment of making, given by the caller: no clock is read here
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
