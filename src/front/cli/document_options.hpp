#pragma once
// What report, certificates and labels have in common on the command line: job, part of it, paper, language.

#include <string>

#include "front/cli/options.hpp"
#include "workflow/hand_over.hpp"

namespace strandbook {

struct DocumentOptions {
  JobOptions job;
  ReportOptions report;
  Scope scope;
  std::string out;
  std::string paper = "a4";
  std::string length = "m";
  std::string created;
  std::string language = "en";
  std::string client_picture;
  std::string contractor_picture;
};

/// Site, contractor, paper, unit of length, language, moment of making; `settle_look` fills `report` from
/// them.
void add_look_options(CLI::App& command, DocumentOptions& options);
Result<Done> settle_look(DocumentOptions& options);
/// Options of all three. Each adds its own --out.
void add_document_options(CLI::App& command, DocumentOptions& options);

/// The judged job, narrowed to the part that is asked for, and `options.report` filled.
Result<JudgedWork> work_of(DocumentOptions& options);

}  // namespace strandbook
