#pragma once
// Options that several commands share, as text from the command line, and their translation.

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "domain/diagnosis/scope.hpp"
#include "workflow/bring_in.hpp"
#include "workflow/judge_job.hpp"

namespace strandbook {

/// Texts as given; empty = not given.
struct JobOptions {
  JobFiles files;
  std::string book;
  std::string name;
  std::string profile;
  std::string rule;
  std::vector<std::string> own_rule_files;
  std::string uncertainty_file;
  std::string limit_db;
  std::string guard;
  std::string wavelengths;
  std::string directions;
  std::string method;
  std::string cords;
  std::string configuration;
  std::string reference_hours;
  std::vector<std::string> confirm;
  std::string columns;
  std::string loss_sign;
  std::string dates;
  std::string trace_pattern;
  std::string launch;
  std::string receive;
};

void add_file_options(CLI::App& command, JobOptions& options);
void add_import_options(CLI::App& command, JobOptions& options);
void add_rule_options(CLI::App& command, JobOptions& options);

/// Not for `trace`, which has its own.
void add_trace_options(CLI::App& command, JobOptions& options);

/// The files, traces with the options that go with them.
Result<JobFiles> job_files(const JobOptions& options);
Result<JobSettings> job_settings(const JobOptions& options);
Result<ImportChoices> import_choices(const JobOptions& options);

/// What was given to an option is not what it takes.
Problem bad_option(const std::string& option, const std::string& found, const std::string& wanted);

/// A number typed on the command line; `wanted` says what for.
Result<double> number_option(const std::string& option, const std::string& text, const std::string& wanted);

/// Prints a problem on standard error and gives exit status 2.
int refuse(const Problem& problem);

/// A part of the job: --building, --panel, --cable, --operator, --link.
void add_scope_options(CLI::App& command, Scope& scope);

}  // namespace strandbook
