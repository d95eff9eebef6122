#pragma once
// Readings, references, cord checks and splices made again, as a screen sends them.

#include <deque>
#include <string>

#include "domain/readings/cord_check.hpp"
#include "domain/readings/reading.hpp"
#include "domain/readings/site_records.hpp"
#include "front/service/fields_in.hpp"

namespace strandbook {

/// A reading and the texts it views.
struct ReadingIn {
  std::string entry;
  std::deque<std::string> texts;
  Reading reading;
};

enum class EntryNeed { with_entry, preview };
Result<ReadingIn> reading_in(FieldsIn fields, EntryNeed need);

struct ReferenceIn {
  std::string entry;
  Reference reference;
};
Result<ReferenceIn> reference_in(FieldsIn fields);

struct CordCheckIn {
  std::string entry;
  CordCheck check;
};
Result<CordCheckIn> cord_check_in(FieldsIn fields);

struct SpliceAttemptIn {
  std::string entry;
  SpliceAttempt attempt;
};
Result<SpliceAttemptIn> splice_attempt_in(FieldsIn fields);

/// Now, UTC.
Instant now_utc();

}  // namespace strandbook
