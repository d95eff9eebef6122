#include "domain/readings/reference_finder.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

constexpr std::int64_t end_of_day_s = 86399;
constexpr double same_wavelength_nm = 0.5;

bool agree(std::string_view a, std::string_view b) { return a.empty() || b.empty() || a == b; }

std::int64_t reading_second(const Reading& reading) {
  // A reading with only a date may have been taken at any time of that day.
  return reading.time.seconds + (reading.time.timed ? 0 : end_of_day_s);
}

bool comparable(const Reference& reference, const Reading& reading) {
  return reference.time && reading.has_time && reference.time->dated == reading.time.dated;
}

bool is_before(const Reference& reference, const Reading& reading) {
  return !comparable(reference, reading) || reference.time->seconds <= reading_second(reading);
}

bool named(const Reference& reference, const Reading& reading) {
  return reading.reference.empty() || reference.id == reading.reference;
}

bool same_instruments(const Reference& reference, const Reading& reading) {
  return agree(reference.source, reading.source) && agree(reference.cords, reading.cords);
}

bool same_setting(const Reference& reference, const Reading& reading) {
  const double at_reference =
      reference.meter_setting ? reference.meter_setting->value : reference.wavelength.value;
  const double at_reading =
      reading.meter_setting.value > 0 ? reading.meter_setting.value : reading.wavelength.value;
  return std::abs(at_reference - at_reading) < same_wavelength_nm;
}

bool fits(const Reference& reference, const Reading& reading) {
  return named(reference, reading) && same_instruments(reference, reading) &&
         same_setting(reference, reading);
}

bool earlier(const Reference& a, const Reference& b) {
  if (!a.time || !b.time) return !a.time && b.time;
  return a.time->seconds < b.time->seconds;
}

}  // namespace

bool same_chain(const Reference& a, const Reference& b) {
  return std::abs(a.wavelength.value - b.wavelength.value) < same_wavelength_nm && agree(a.id, b.id) &&
         agree(a.source, b.source) && agree(a.meter, b.meter) && agree(a.cords, b.cords);
}

ReferenceFinder::ReferenceFinder(const std::vector<Reference>& references, ReferencePractice practice)
    : references_(references), practice_(practice) {
  for (std::uint32_t i = 0; i < references.size(); ++i) {
    if (references[i].kind != ReferenceKind::opening) continue;
    const double wavelength = references[i].wavelength.value;
    auto at = std::find_if(groups_.begin(), groups_.end(), [wavelength](const Group& group) {
      return std::abs(group.wavelength_nm - wavelength) < same_wavelength_nm;
    });
    if (at == groups_.end()) at = groups_.insert(at, Group{wavelength, {}});
    at->rows.push_back(i);
  }
  for (Group& group : groups_)
    std::stable_sort(group.rows.begin(), group.rows.end(), [&references](std::uint32_t a, std::uint32_t b) {
      return earlier(references[a], references[b]);
    });
  changes_.resize(references.size());
  for (const Group& group : groups_)
    for (const std::uint32_t row : group.rows) changes_[row] = largest_change(row);
}

// Looks at each pair of references once, so that a year's references are no more than a year's squared.
ReferenceFinder::SessionEnd ReferenceFinder::end_of_session(std::uint32_t opening) const {
  const Reference& first = references_[opening];
  SessionEnd end;
  for (std::uint32_t i = 0; i < references_.size(); ++i) {
    const Reference& next = references_[i];
    if (i == opening || next.kind != ReferenceKind::opening || !same_chain(first, next)) continue;
    if (i > opening) end.row = std::min(end.row, i);
    if (i > opening && !next.time) end.untimed_row = std::min(end.untimed_row, i);
    if (first.time && next.time && earlier(first, next))
      end.second = std::min(end.second.value_or(next.time->seconds), next.time->seconds);
  }
  return end;
}

// A check belongs to the opening before it: the next opening of the same chain ends the session.
bool ReferenceFinder::belongs(std::uint32_t check, std::uint32_t opening, const SessionEnd& end) const {
  const Reference& first = references_[opening];
  const Reference& last = references_[check];
  // Where a time is missing, the order in the file tells.
  if (!first.time || !last.time) return opening <= check && end.row >= check;
  return !earlier(last, first) && !(end.second && *end.second <= last.time->seconds) &&
         end.untimed_row >= check;
}

std::optional<Decibels> ReferenceFinder::largest_change(std::uint32_t opening) const {
  const Reference& first = references_[opening];
  const SessionEnd end = end_of_session(opening);
  std::optional<Decibels> largest;
  for (std::uint32_t i = 0; i < references_.size(); ++i) {
    const Reference& check = references_[i];
    if (check.kind != ReferenceKind::closing_check || !same_chain(first, check) || !belongs(i, opening, end))
      continue;
    const Decibels change = check.power - first.power;
    if (!largest || std::abs(change.value) > std::abs(largest->value)) largest = change;
  }
  return largest;
}

const ReferenceFinder::Group* ReferenceFinder::group_at(double wavelength_nm) const {
  for (const Group& group : groups_)
    if (std::abs(group.wavelength_nm - wavelength_nm) < same_wavelength_nm) return &group;
  return nullptr;
}

std::uint32_t ReferenceFinder::latest_fit(const Group& group, const Reading& reading) const {
  auto at = group.rows.end();
  if (reading.has_time) {
    const auto second = reading_second(reading);
    at = std::upper_bound(group.rows.begin(), group.rows.end(), second,
                          [this](std::int64_t t, std::uint32_t row) {
                            const auto& time = references_[row].time;
                            return time && t < time->seconds;
                          });
  }
  while (at != group.rows.begin()) {
    const Reference& reference = references_[*--at];
    if (is_before(reference, reading) && fits(reference, reading)) return *at;
  }
  return no_reference_row;
}

ReferenceMatch ReferenceFinder::judged(std::uint32_t row, const Reading& reading) const {
  const Reference& reference = references_[row];
  ReferenceMatch match{row, ReferenceFault::none, !agree(reference.meter, reading.meter), changes_[row]};
  if (match.change && !at_most({std::abs(match.change->value)}, practice_.change_allowed))
    match.fault = ReferenceFault::drifted;
  if (practice_.valid_for_s && comparable(reference, reading) &&
      reading.time.seconds - reference.time->seconds > *practice_.valid_for_s)
    match.fault = ReferenceFault::expired;
  return match;
}

ReferenceFault ReferenceFinder::why_none(const Group& group, const Reading& reading) const {
  bool any_named = false;
  bool any_same = false;
  bool any_set = false;
  for (const std::uint32_t row : group.rows) {
    const Reference& reference = references_[row];
    any_named |= named(reference, reading);
    any_same |= named(reference, reading) && same_instruments(reference, reading);
    any_set |= fits(reference, reading);
  }
  if (any_set) return ReferenceFault::after_reading;
  if (any_same) return ReferenceFault::setting_differs;
  return any_named ? ReferenceFault::instrument_differs : ReferenceFault::missing;
}

ReferenceMatch ReferenceFinder::find(const Reading& reading) const {
  const Group* group = group_at(reading.wavelength.value);
  if (group == nullptr) return {};
  const std::uint32_t row = latest_fit(*group, reading);
  if (row == no_reference_row) return {no_reference_row, why_none(*group, reading), false, {}};
  if (!reading.has_time || (references_[row].time && !comparable(references_[row], reading))) {
    // Without a comparable time only a single candidate is certain.
    for (const std::uint32_t other : group->rows)
      if (other != row && fits(references_[other], reading))
        return {no_reference_row, ReferenceFault::ambiguous, false, {}};
  }
  return judged(row, reading);
}

}  // namespace strandbook
