#include "domain/review/recorded_job.hpp"

namespace strandbook {

RecordedJob recorded_of(const Assessment& all) {
  RecordedJob job;
  job.guard = all.guard;
  job.tests.reserve(all.tests.size());
  for (const JudgedTest& test : all.tests) {
    const ScheduledStrand& strand = all.schedule[test.strand];
    RecordedTest& row = job.tests.emplace_back();
    row.link = link_name(strand);
    row.strand = strand.strand;
    row.wavelength = test.wavelength;
    row.direction = test.direction;
    row.outcome = test.outcome;
    if (test.limit != nothing) row.limit = all.limits[test.limit].value;
    if (test.reference != nothing) row.reference = all.references[test.reference].id;
    if (test.reading != nothing && all.readings.rows[test.reading].has_time)
      row.time = iso_text(all.readings.rows[test.reading].time);
    // A loss whose evidence cannot count is no loss to compare with.
    if (!test.has_loss || !test.judged()) continue;
    row.loss = test.loss;
    row.uncertainty = test.standard_uncertainty;
    row.shared = test.shared_uncertainty;
  }
  return job;
}

}  // namespace strandbook
