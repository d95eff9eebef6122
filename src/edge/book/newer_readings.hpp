#pragma once
// What was typed into a book since it was read: taken in by itself, without building the state anew.

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "domain/readings/reading.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

/// Up to where a book was read.
struct BookReach {
  std::int64_t chained = 0;  ///< facts in all chains
  Uuid latest;               ///< all zero in an empty book
};

/// Asked before a state is built: what is written meanwhile comes twice, and its ids tell.
Result<BookReach> reach_of(const Store& store);

/// A reading of no file, as a screen sends it.
struct TypedReading {
  Uuid fact;
  std::string entry;  ///< may be empty
  Reading reading;
};

struct NewerReadings {
  BookReach reach;
  ReadingSet texts;                 ///< of the readings
  std::vector<TypedReading> typed;  ///< in order of time
};

/// `own`: facts that the asker wrote since and knows of; of these, readings come with the others and all else
/// is passed over. Nothing where anything else came that counts, where something came with an id before
/// `since.latest`, or where there is more than is worth taking in one by one.
Result<std::optional<NewerReadings>> newer_readings(const Store& store, const BookReach& since,
                                                    const std::set<Uuid>& own);

}  // namespace strandbook
