#pragma once
// The owner's reviewer: draw an audit sample of a record, and judge it once it was measured again.

#include <optional>
#include <string>
#include <vector>

#include "domain/review/audit.hpp"
#include "domain/review/sampling_scheme.hpp"

namespace strandbook {

/// How large a sample: by the tables where `aql_percent` is given; else for the risk points; with `good`
/// empty the zero-failure plan.
struct SampleWish {
  std::string seed;  ///< any text, agreed after the record was handed in
  SampleUnit unit = SampleUnit::strand;
  std::optional<double> aql_percent;
  InspectionLevel level = InspectionLevel::two;
  InspectionSeverity severity = InspectionSeverity::normal;
  std::optional<double> good;  ///< share of bad units, 0 to 1
  double producer_risk = 0.05;
  std::optional<double> poor;  ///< share of bad units, 0 to 1
  double consumer_risk = 0.1;
};

struct DrawnSample {
  std::string seed;
  SampleUnit unit = SampleUnit::strand;
  std::uint32_t lot = 0;
  SamplingPlan plan;
  std::string how;              ///< in words: table, letter, or the points
  std::string source;           ///< of the table; empty where the plan was worked out
  double accepted_at_good = 0;  ///< probability of acceptance at the good quality, or at the AQL
  std::optional<double> good;
  double poor_10 = 0;           ///< share of bad units that is accepted with 10 % probability
  std::vector<UnitName> units;  ///< in the order of the record
};

/// The units with the smallest SHA-256 of "seed TAB link TAB strand" (UTF-8, a link's strand is empty), as
/// many as asked: whoever has the record and the seed draws the same, in any order of the record.
std::vector<UnitName> draw_units(const std::vector<UnitName>& units, const std::string& seed,
                                 std::size_t size);

Result<DrawnSample> draw_sample(const RecordedJob& job, const SampleWish& wish);
/// The drawn sample as a file for both sides.
std::string sample_json(const DrawnSample& sample);
/// A list for the crew: link and strand, delimited.
std::string sample_csv(const DrawnSample& sample);
/// Reads what sample_json wrote.
Result<DrawnSample> read_sample(const std::string& path);

struct AuditWork {
  DrawnSample sample;
  RecordedJob recorded;
  RecordedJob measured;
  AuditJudgement judged;
};

/// Fails where the sample is not what its seed draws from this record: it was changed, or the record was.
Result<AuditWork> audit_job(const std::string& sample, const std::string& recorded,
                            const std::string& measured);
std::string audit_json(const AuditWork& work);

}  // namespace strandbook
