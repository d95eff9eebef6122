#pragma once
// Before and after: two recordings of one plant, years apart or around a repair.

#include <string>

#include "domain/review/compare_jobs.hpp"
#include "edge/exchange/json_members.hpp"

namespace strandbook {

struct ComparedJobs {
  RecordedJob before;
  RecordedJob after;
  Comparison comparison;
  ComparisonSettings settings;
};

/// Each path is a source that recorded_job knows.
Result<ComparedJobs> compare_recordings(const std::string& before, const std::string& after,
                                        const ComparisonSettings& settings);

/// The same of recordings that were read already.
Result<ComparedJobs> compare_recorded(RecordedJob before, RecordedJob after,
                                      const ComparisonSettings& settings);

/// No change beyond uncertainty, no common move beyond it, no outcome that is worse, no strand gone.
bool all_as_before(const ComparedJobs& work);

std::string comparison_json(const ComparedJobs& work);
/// Which test: link, strand, wavelength, direction.
void append_test_name(JsonMembers& members, const RecordedTest& test);
void append_moves(std::string& out, const std::vector<SharedMove>& moves);

}  // namespace strandbook
