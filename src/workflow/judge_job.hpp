#pragma once
// From what was brought in to a judged job.

#include <optional>
#include <string>
#include <vector>

#include "domain/diagnosis/finding.hpp"
#include "workflow/bring_in.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {

/// What the person settles for the job.
struct JobSettings {
  std::string name;
  std::string rule;  ///< id; may be empty where the schedule gives rules or limits
  std::vector<std::string> own_rule_files;
  std::vector<std::string> own_rule_texts;  ///< whole rule files, as a book holds them
  std::string uncertainty_file;
  std::optional<Decibels> fixed_limit;
  std::optional<GuardBand> guard;  ///< none where nothing settles it
  std::vector<Nanometres> wavelengths;
  std::optional<DirectionDemand> directions;
  std::optional<ReferenceMethod> method;
  std::optional<CordGrade> cords;
  std::optional<Configuration> configuration;
  std::optional<std::int64_t> reference_valid_s;
  NameRepairs confirmed_repairs = 0;
};

/// A judged job and the rules it points into.
struct JudgedWork {
  std::shared_ptr<const Rulebook> rulebook;
  Practice practice;
  JudgedJob job;
};

/// The job's own rules, from files and texts.
OwnRules own_rules_of(const JobSettings& settings);

/// How this schedule is judged under the job's settings. Fails where a rule is needed and none is known.
Result<JudgeSettings> judge_settings(const KnownRules& known, const JobSettings& job,
                                     const Schedule& schedule);

Result<JudgedWork> judge_job(BroughtIn brought, const JobSettings& settings);

/// True where every test passes (conditionally or not) and no row or reading is left over.
bool all_holds(const JudgedJob& job);

}  // namespace strandbook
