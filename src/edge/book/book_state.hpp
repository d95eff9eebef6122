#pragma once
// What counts now: a view over the facts, worked out anew at each reading and never stored.

#include <map>
#include <string>
#include <vector>

#include "domain/plan/schedule.hpp"
#include "domain/problem/progress.hpp"
#include "domain/readings/cord_check.hpp"
#include "domain/readings/reading.hpp"
#include "domain/readings/site_records.hpp"
#include "domain/traces/held_trace.hpp"
#include "edge/book/record.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

/// A record and the fact it stands in.
template <class T>
struct Held {
  Uuid fact;
  std::int64_t time_ms = 0;  ///< when it was recorded, milliseconds UTC since 1970
  T value;
};

/// Corrections are applied, withdrawn facts left out. Lists are in order of time; each list of facts runs
/// beside its rows.
struct BookState {
  std::string name;
  std::map<std::string, std::string> settings;
  Schedule schedule;  ///< one row per strand: the latest import's row, in the place of the first
  std::vector<Uuid> schedule_facts;
  std::vector<Reference> references;
  std::vector<Uuid> reference_facts;
  ReadingSet readings;
  std::vector<Uuid> reading_facts;
  SiteRecords records;
  std::vector<HeldTrace> traces;
  std::vector<Uuid> trace_facts;
  std::vector<Problem> unread;
  std::vector<Uuid> unread_facts;
  std::vector<Held<ImportRecord>> imports;
  std::vector<Held<RuleChoice>> rule_choices;  ///< the last one counts
  std::vector<Held<Remark>> remarks;
  std::vector<Held<CordCheck>> cord_checks;
  std::map<std::string, Uuid>
      entries;  ///< what screens recorded, by its name there; also what no longer counts
  /// A strand listed again in the same import (the first row counts), or by a later one with other values
  /// (the later counts).
  std::vector<Problem> repeated;
  std::size_t corrected = 0;  ///< rows that show a correction's values
  std::size_t withdrawn = 0;  ///< facts that no longer count
  std::size_t doubled = 0;    ///< rows of a file that another crew's import holds already, entries sent twice
  std::map<Uuid, std::size_t> cut_off;  ///< facts that a retired device recorded after its end, by device
};

/// `progress` is asked now and then, with 0, whether to go on: nobody knows beforehand how much there is.
Result<BookState> current_state(const Store& store, const Progress& progress = {});
/// The schedule and what belongs to it only; the other lists stay empty. Fast in a book of a million
/// readings.
Result<BookState> current_schedule(const Store& store);

}  // namespace strandbook
