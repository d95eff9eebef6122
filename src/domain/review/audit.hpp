#pragma once
// The re-measured sample of an audit against what was recorded: is the record confirmed?

#include <string>
#include <vector>

#include "domain/review/compare_jobs.hpp"
#include "domain/statistics/acceptance_sampling.hpp"

namespace strandbook {

enum class SampleUnit { strand, link };
std::string_view text_of(SampleUnit unit);  // "strand", "link"

/// A unit of the lot: a strand, or a whole link where `strand` is empty.
struct UnitName {
  std::string link;
  std::string strand;
  bool operator==(const UnitName&) const = default;
};

/// The units of a record, each once, in its order.
std::vector<UnitName> units_of(const RecordedJob& job, SampleUnit unit);

enum class AuditOutcome { accepted, rejected, incomplete };
std::string_view text_of(AuditOutcome outcome);

/// A unit drawn, and what speaks against its record.
struct AuditedUnit {
  UnitName name;
  std::size_t tests = 0;
  std::size_t measured = 0;  ///< of them, again and validly
  std::vector<std::uint32_t> over_limit =
      {};  ///< pairs recorded as accepted and proven beyond the limit: loss > limit + U
  std::vector<std::uint32_t> differing = {};  ///< pairs whose loss differs beyond uncertainty
  bool bad() const { return !over_limit.empty() || !differing.empty(); }
  bool complete() const { return tests > 0 && measured == tests; }
};

struct AuditJudgement {
  AuditOutcome outcome = AuditOutcome::incomplete;
  SamplingPlan plan;
  std::uint32_t lot = 0;
  std::uint32_t bad = 0;
  std::uint32_t incomplete = 0;
  std::vector<AuditedUnit> units;
  std::uint32_t most_bad = 0;  ///< in the lot, with the confidence asked for
  double confidence = 0.95;
  RecordedJob before;     ///< only the drawn units, as recorded
  RecordedJob after;      ///< and as measured again
  Comparison comparison;  ///< of these two
};

struct AuditQuestion {
  const RecordedJob& recorded;
  const RecordedJob& measured;
  const std::vector<UnitName>& drawn;
  SampleUnit unit = SampleUnit::strand;
  SamplingPlan plan;
  std::uint32_t lot = 0;
  double confidence = 0.95;
};

/// Rejected as soon as more are bad than the plan accepts; accepted only once every unit is measured. Only
/// the drawn units are looked at.
AuditJudgement judge_audit(const AuditQuestion& question, const ComparisonSettings& settings);

}  // namespace strandbook
