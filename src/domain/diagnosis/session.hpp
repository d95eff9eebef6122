#pragma once
// What a block tells of each session: levels, differences to other sessions, values in time order.

#include <limits>
#include <map>
#include <utility>
#include <vector>

#include "domain/diagnosis/block.hpp"
#include "domain/diagnosis/compare_groups.hpp"
#include "domain/diagnosis/suspects.hpp"
#include "domain/diagnosis/table_detectors.hpp"

namespace strandbook {

/// Losses of one session and kind of strand in one table.
struct LevelCell {
  SessionKey session = 0;
  double wavelength_nm = 0;
  FibreMode mode = FibreMode::single_mode;
  bool comparable = false;  ///< length and connections are known: other links may be set beside it
  std::uint32_t block = 0;
  std::uint32_t sample = 0;  ///< a test of it
  double count = 0;
  double loss_db = 0;  ///< robust mean, typical fibre taken off
  double length_km = 0;
  double connections = 0;
  double splices = 0;
};

/// One strand's losses under two sessions, as differences over a table.
struct PairCell {
  SessionKey one = 0;    ///< shorter wavelength; or A to B
  SessionKey other = 0;  ///< longer wavelength; or B to A
  double one_nm = 0;
  double other_nm = 0;
  FibreMode mode = FibreMode::single_mode;
  std::uint32_t block = 0;
  std::uint32_t one_sample = 0;
  std::uint32_t other_sample = 0;
  double count = 0;
  double difference_db = 0;  ///< robust mean of other less one, typical fibre taken off
  double spread_db = 0;
  double length_km = 0;
};

/// A value of a session in time order.
struct SessionEntry {
  std::int64_t second = 0;  ///< of the reading; 0 where no time is known
  std::uint32_t row = 0;    ///< of its file, where times are equal
  std::uint32_t test = 0;
  std::uint32_t strand = 0;
  std::uint32_t block = 0;
  float level_db = 0;                                            ///< less its table's median
  float contrast_db = std::numeric_limits<float>::quiet_NaN();   ///< to the same strand under another session
  float job_level_db = std::numeric_limits<float>::quiet_NaN();  ///< less what its parts typically lose
  bool timed = false;
  bool operator<(const SessionEntry& other) const {
    if (second != other.second) return second < other.second;
    if (row != other.row) return row < other.row;
    return test < other.test;
  }
};

struct SessionFacts {
  std::vector<LevelCell> levels;
  std::vector<PairCell> pairs;
  std::vector<std::pair<SessionKey, SessionEntry>> entries;
};
/// Adds what one table tells.
void gather_sessions(const LinkTable& table, const Explained& explained, std::uint32_t block,
                     SessionFacts& out);

/// Values of a session in time order, cut where the schedule is long so that a reading touches few of them.
struct SeriesKey {
  SessionKey session = 0;
  std::uint32_t part = 0;
  auto operator<=>(const SeriesKey&) const = default;
};
using SessionSeries = std::map<SeriesKey, std::vector<SessionEntry>>;

/// A step or drift inside one session.
void detect_shift(const Assessment& all, const DiagnosisPractice& practice,
                  std::span<const SessionEntry> series, Suspects& out);
/// Readings faster than hands can move plugs.
void detect_pace(const Assessment& all, const DiagnosisPractice& practice,
                 std::span<const SessionEntry> series, Suspects& out);

/// All that is known of the sessions of a job.
struct SessionEvidence {
  std::vector<const LevelCell*> levels;
  std::vector<const PairCell*> pairs;
  const SessionSeries* series = nullptr;
  const std::vector<bool>* closed = nullptr;  ///< per reference: a closing check was made
  ComparisonMemory* memory = nullptr;
  bool is_closed(SessionKey session) const;
  /// Ascending.
  std::vector<std::uint32_t> tests_of(SessionKey session) const;
};
/// Sessions set against each other: which references are off.
void detect_offsets(const Assessment& all, const DiagnosisPractice& practice, const SessionEvidence& evidence,
                    Suspects& out);
/// References that nothing confirms, and the one measurement that would.
void detect_unproven(const Assessment& all, const DiagnosisPractice& practice,
                     const SessionEvidence& evidence, Suspects& out);

}  // namespace strandbook
