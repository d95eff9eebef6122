#pragma once
// From what was brought in to a judged job.

#include <functional>
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
  // What an owner's profile settles besides; workflow/know_profiles.hpp fills them.
  std::string profile;       ///< its id; empty where there is none
  std::string profile_text;  ///< its whole file, as a book holds it
  std::vector<DemandRow> demands;
  DecisionRule decision;  ///< which outcomes are taken; `guard` above settles the guard band
  TraceDemands traces;
};

/// The bytes of a file that traces came from, by HeldTrace::kept.
using KeptFiles = std::function<Result<std::string>(const std::string& kept)>;

/// A judged job and the rules it points into.
struct JudgedWork {
  std::shared_ptr<const Rulebook> rulebook;
  Practice practice;
  DecisionRule decision;
  JudgedJob job;
  JudgeSettings settings = {};  ///< how its tests were planned and judged
  KeptFiles files = {};         ///< null where nothing draws a trace
};

/// The job's own rules, from files and texts.
OwnRules own_rules_of(const JobSettings& settings);

/// How this schedule is judged under the job's settings. Fails where a rule is needed and none is known.
Result<JudgeSettings> judge_settings(const KnownRules& known, const JobSettings& job,
                                     const Schedule& schedule);

Result<JudgedWork> judge_job(BroughtIn brought, const JobSettings& settings);

/// True where every test has an outcome that the owner takes and no row or reading is left over. Where no
/// profile says otherwise, these are pass and conditional pass.
bool all_holds(const JudgedWork& work);

}  // namespace strandbook
