#pragma once
// A block: some neighbouring strands of the schedule with all their tests, the unit in which a job is
// examined.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "domain/diagnosis/practice.hpp"
#include "domain/verdict/assessment.hpp"

namespace strandbook {

/// Strands first .. last − 1 and their tests first_test .. last_test − 1.
struct Block {
  std::uint32_t first = 0;
  std::uint32_t last = 0;
  std::uint32_t first_test = 0;
  std::uint32_t last_test = 0;
};

/// Cuts the schedule at its links; small links share a block, large ones are cut. A reading then touches one
/// block, whatever the size of the job.
class BlockLayout {
 public:
  explicit BlockLayout(const Assessment& all);
  const std::vector<Block>& blocks() const { return blocks_; }
  std::uint32_t block_of(std::uint32_t strand) const { return block_of_[strand]; }

 private:
  std::vector<Block> blocks_;
  std::vector<std::uint32_t> block_of_;
};

/// Readings under one reference; for typed losses, of one file, operator and day at one wavelength.
using SessionKey = std::uint64_t;
SessionKey session_of(const Assessment& all, const JudgedTest& test);
/// Row of the reference of a session; nothing for typed losses.
std::optional<std::uint32_t> reference_of(SessionKey session);

/// A loss that physics may be asked about: it was measured and its reference is not in doubt.
bool is_sound(const JudgedTest& test);

/// The tests of consecutive strands of one link, as a table: a row for each strand, a column for each
/// wavelength and direction.
class LinkTable {
 public:
  struct Column {
    Nanometres wavelength;
    std::optional<Direction> direction;
    bool operator==(const Column&) const = default;
  };

  /// The run of strands of one link that begins at `first` and ends before `last`.
  LinkTable(const Assessment& all, const DiagnosisPractice& practice, const Block& part);

  const Assessment& all() const { return all_; }
  const DiagnosisPractice& practice() const { return practice_; }
  std::uint32_t first() const { return part_.first; }
  std::size_t strands() const { return part_.last - part_.first; }
  const std::vector<Column>& columns() const { return columns_; }
  /// Index of a test, or `nothing`.
  std::uint32_t test(std::size_t strand, std::size_t column) const {
    return tests_[strand * columns_.size() + column];
  }
  /// Index of a test with a sound loss, or `nothing`.
  std::uint32_t sound(std::size_t strand, std::size_t column) const;
  double loss(std::uint32_t test) const { return all_.tests[test].loss.value; }
  const ScheduledStrand& scheduled(std::size_t strand) const { return all_.schedule[part_.first + strand]; }
  std::span<const JudgedTest> tests() const {
    return std::span(all_.tests).subspan(part_.first_test, part_.last_test - part_.first_test);
  }
  std::uint32_t first_test() const { return part_.first_test; }
  /// Fibre loss that is typical for a test's length, dB; nothing where fibre or length is not known.
  std::optional<double> typical_fibre(std::size_t strand, Nanometres wavelength) const;
  std::string name() const;

 private:
  const Assessment& all_;
  const DiagnosisPractice& practice_;
  Block part_;
  std::vector<Column> columns_;
  std::vector<std::uint32_t> tests_;
};

}  // namespace strandbook
