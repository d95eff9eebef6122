#pragma once
// Which reference a reading's level may be subtracted from, and what forbids it.

#include <cstdint>
#include <optional>
#include <vector>

#include "domain/readings/reading.hpp"

namespace strandbook {

inline constexpr std::uint32_t no_reference_row = 0xffffffff;

/// What the job allows. Values come from the practice file or the owner.
struct ReferencePractice {
  Decibels change_allowed;                  ///< largest |closing − opening| before the session is void
  std::optional<std::int64_t> valid_for_s;  ///< age beyond which a reference no longer counts
};

enum class ReferenceFault : std::uint8_t {
  none,
  missing,        ///< none at this wavelength, or none of the name the reading gives
  ambiguous,      ///< several could be meant and nothing tells which
  after_reading,  ///< only later ones exist
  expired,
  setting_differs,     ///< meter's wavelength key differs between reference and reading
  instrument_differs,  ///< other source or cords
  drifted,             ///< the closing check differs by more than allowed
};

struct ReferenceMatch {
  std::uint32_t reference = no_reference_row;  ///< also set for faults that concern one reference
  ReferenceFault fault = ReferenceFault::missing;
  bool meter_differs = false;      ///< another meter read the reference: its calibration does not cancel
  std::optional<Decibels> change;  ///< closing − opening of that reference, where a check was made
};

/// Of the same wavelength and, as far as both say, of the same name, source, meter and cords: an opening and
/// its checks, or an opening and the one that takes its place.
bool same_chain(const Reference& a, const Reference& b);

/// Finds the latest reference at or before a reading with the same wavelength, source, cords and meter
/// setting, of the name the reading gives if it gives one.
class ReferenceFinder {
 public:
  ReferenceFinder(const std::vector<Reference>& references, ReferencePractice practice);
  ReferenceMatch find(const Reading& reading) const;
  /// Closing minus opening of a reference; the largest where there were several checks.
  std::optional<Decibels> change_of(std::uint32_t reference) const { return changes_[reference]; }

 private:
  struct Group {
    double wavelength_nm;
    std::vector<std::uint32_t> rows;  ///< openings, earliest first, those without a time before all
  };
  const Group* group_at(double wavelength_nm) const;
  /// Where the next opening of the same chain stands: its time, its row, its row where it has no time.
  struct SessionEnd {
    std::optional<std::int64_t> second;
    std::uint32_t row = no_reference_row;
    std::uint32_t untimed_row = no_reference_row;
  };
  SessionEnd end_of_session(std::uint32_t opening) const;
  bool belongs(std::uint32_t check, std::uint32_t opening, const SessionEnd& end) const;
  std::optional<Decibels> largest_change(std::uint32_t opening) const;
  std::uint32_t latest_fit(const Group& group, const Reading& reading) const;
  ReferenceMatch judged(std::uint32_t reference, const Reading& reading) const;
  ReferenceFault why_none(const Group& group, const Reading& reading) const;

  const std::vector<Reference>& references_;
  ReferencePractice practice_;
  std::vector<Group> groups_;
  std::vector<std::optional<Decibels>> changes_;
};

}  // namespace strandbook
