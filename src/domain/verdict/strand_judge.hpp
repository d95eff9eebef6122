#pragma once
// The tests of one strand: which reading counts for each, its loss, limit, uncertainty and outcome.

#include <memory>
#include <span>
#include <unordered_map>
#include <vector>

#include "domain/verdict/judge.hpp"

namespace strandbook {

/// What every worker reads and none changes.
struct JudgeContext {
  const Schedule& schedule;
  const std::vector<Reference>& references;
  const std::vector<Reading>& readings;
  const Rulebook& rulebook;
  const JudgeSettings& settings;
  const ReferenceFinder& finder;
  const std::vector<LightPath>& light_paths;
  const ContinuityMap& continuity;
};

/// Judges strands one after the other and gathers tests, limits and leftovers. One worker, one StrandJudge.
class StrandJudge {
 public:
  explicit StrandJudge(const JudgeContext& context) : context_(context) {}
  /// Appends the tests of a strand; `readings` are the indices of those matched to it.
  Result<Done> judge(std::uint32_t strand, std::span<const std::uint32_t> readings);

  std::vector<JudgedTest> tests;
  std::vector<Limit> limits;
  std::vector<Problem> limit_problems;
  std::vector<UnmatchedReading> unmatched;

 private:
  struct Candidate;
  struct LimitKey {
    LimitQuestion question;
    const RuleSet* rule = nullptr;
    double fixed_db = 0;
    bool operator==(const LimitKey&) const = default;
  };
  struct LimitKeyHash {
    std::size_t operator()(const LimitKey& key) const;
  };
  /// Index of a limit, or of the problem that stood in its way.
  struct LimitIndex {
    std::uint32_t limit = nothing;
    std::uint32_t problem = nothing;
  };

  void plan_slots(const StrandPlan& plan, std::span<const std::uint32_t> readings);
  void place(const StrandPlan& plan, std::uint32_t reading);
  void leave(std::uint32_t reading, const char* why);
  JudgedTest judged_slot(const StrandPlan& plan, std::size_t slot);
  Candidate evaluate(std::uint32_t reading, const StrandPlan& plan) const;
  std::optional<ReferenceMethod> method_for(const StrandPlan& plan, std::uint32_t reference) const;
  LimitIndex limit_for(const StrandPlan& plan, Nanometres wavelength, std::optional<ReferenceMethod> method);
  LimitIndex work_out(const LimitKey& key);
  void settle(JudgedTest& test, const Candidate& counts);
  void settle_continuity(JudgedTest& test) const;
  StandardUncertainty uncertainty_of(const Candidate& counts, Nanometres wavelength);
  const UncertaintyBudget& budget_at(FibreMode mode, Nanometres wavelength);

  struct Slot {
    Nanometres wavelength;
    std::optional<Direction> direction;
    std::vector<std::uint32_t> readings;
  };
  struct HeldBudget {
    FibreMode mode;
    Nanometres wavelength;
    UncertaintyBudget budget;
  };

  const JudgeContext& context_;
  const ScheduledStrand* strand_ = nullptr;
  std::uint32_t strand_index_ = 0;
  std::vector<Slot> slots_;
  std::size_t slots_used_ = 0;
  std::unordered_map<LimitKey, LimitIndex, LimitKeyHash> known_limits_;
  std::vector<std::unique_ptr<HeldBudget>> budgets_;
};

}  // namespace strandbook
