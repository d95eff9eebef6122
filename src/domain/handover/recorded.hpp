#pragma once
// Is a field of the owner's list recorded with a test?

#include "domain/handover/preflight.hpp"
#include "domain/rulebook/record_field.hpp"

namespace strandbook {

/// Where a field can come from, which is where a gap is mended.
enum class FieldHome {
  pack,       ///< every pack holds it, or the job itself does
  schedule,   ///< a column of the cable schedule
  readings,   ///< a column of the readings or of their references
  records,    ///< certificates of instruments, light paths
  statement,  ///< no file of ours has a column for it: a person states it for the job
};

FieldHome home_of(RecordField field);

/// Whether the test's strand, reading, reference or job records it. Always false where only a statement can.
/// `test` has a reading.
bool recorded(const JobToHandOver& job, const JudgedTest& test, RecordField field);

}  // namespace strandbook
