#include "domain/diagnosis/block.hpp"

#include <algorithm>
#include <functional>
#include <string_view>

namespace strandbook {
namespace {

constexpr std::uint32_t most_strands = 288;
constexpr std::uint32_t least_strands = 48;

/// Marks the sessions of a reference; the row is below it.
constexpr SessionKey reference_mark = 1ULL << 63;

std::uint64_t mixed(std::uint64_t a, std::uint64_t b) {
  a ^= b + 0x9e3779b97f4a7c15ULL + (a << 6) + (a >> 2);
  return a * 0xbf58476d1ce4e5b9ULL;
}

}  // namespace

BlockLayout::BlockLayout(const Assessment& all) : block_of_(all.schedule.size()) {
  const auto strands = static_cast<std::uint32_t>(all.schedule.size());
  std::uint32_t test = 0;
  for (std::uint32_t strand = 0; strand < strands; ++strand) {
    const bool new_link =
        strand == 0 || link_name(all.schedule[strand]) != link_name(all.schedule[strand - 1]);
    const std::uint32_t size = blocks_.empty() ? 0 : strand - blocks_.back().first;
    if (blocks_.empty() || size >= most_strands || (new_link && size >= least_strands))
      blocks_.push_back({strand, strand, test, test});
    Block& block = blocks_.back();
    block_of_[strand] = static_cast<std::uint32_t>(blocks_.size() - 1);
    block.last = strand + 1;
    while (test < all.tests.size() && all.tests[test].strand == strand) ++test;
    block.last_test = test;
  }
}

SessionKey session_of(const Assessment& all, const JudgedTest& test) {
  if (test.reference != nothing) return reference_mark | test.reference;
  if (test.reading == nothing) return 0;
  const Reading& reading = all.readings.rows[test.reading];
  const std::int64_t day = reading.has_time ? reading.time.seconds / 86400 : 0;
  std::uint64_t key = mixed(reading.file, static_cast<std::uint64_t>(test.wavelength.value * 10));
  key = mixed(key, std::hash<std::string_view>{}(reading.operator_name));
  key = mixed(key, std::hash<std::string_view>{}(reading.source));
  return mixed(key, static_cast<std::uint64_t>(day)) & ~reference_mark;
}

std::optional<std::uint32_t> reference_of(SessionKey session) {
  if ((session & reference_mark) == 0) return std::nullopt;
  return static_cast<std::uint32_t>(session & ~reference_mark);
}

bool is_sound(const JudgedTest& test) {
  if (!test.has_loss || test.reading == nothing) return false;
  switch (test.reason) {
    case Reason::none:
    case Reason::no_limit:
    case Reason::method_unstated:
    case Reason::methods_differ:
      return true;
    case Reason::no_reading:
    case Reason::no_light:
    case Reason::no_reference:
    case Reason::ambiguous_reference:
    case Reason::reference_after_reading:
    case Reason::reference_expired:
    case Reason::reference_setting_differs:
    case Reason::reference_instrument_differs:
    case Reason::reference_drifted:
    case Reason::reference_disproved:
    case Reason::impossible_value:
    case Reason::light_crossed:
    case Reason::light_lost:
      return false;
  }
  return false;
}

LinkTable::LinkTable(const Assessment& all, const DiagnosisPractice& practice, const Block& part)
    : all_(all), practice_(practice), part_(part) {
  for (const JudgedTest& test : tests()) {
    const Column column{test.wavelength, test.direction};
    if (std::find(columns_.begin(), columns_.end(), column) == columns_.end()) columns_.push_back(column);
  }
  tests_.assign(strands() * columns_.size(), nothing);
  for (std::uint32_t i = part_.first_test; i < part_.last_test; ++i) {
    const JudgedTest& test = all_.tests[i];
    const auto column = std::find(columns_.begin(), columns_.end(), Column{test.wavelength, test.direction});
    tests_[(test.strand - part_.first) * columns_.size() +
           static_cast<std::size_t>(column - columns_.begin())] = i;
  }
}

std::uint32_t LinkTable::sound(std::size_t strand, std::size_t column) const {
  const std::uint32_t index = test(strand, column);
  return index != nothing && is_sound(all_.tests[index]) ? index : nothing;
}

std::optional<double> LinkTable::typical_fibre(std::size_t strand, Nanometres wavelength) const {
  const ScheduledStrand& row = scheduled(strand);
  const TypicalAttenuation* typical = typical_at(practice_, row.fibre, wavelength);
  if (typical == nullptr || !row.length) return std::nullopt;
  return (typical->typical * *row.length).value;
}

std::string LinkTable::name() const {
  const std::string& name = link_name(scheduled(0));
  return name.empty() ? "strand " + scheduled(0).strand : name;
}

}  // namespace strandbook
