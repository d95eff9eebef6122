#pragma once
// Everything one block tells by itself. A pure function of the block's tests and readings.

#include <array>
#include <functional>
#include <string>
#include <vector>

#include "domain/diagnosis/instrument_use.hpp"
#include "domain/diagnosis/session.hpp"

namespace strandbook {

inline constexpr std::size_t reasons = static_cast<std::size_t>(Reason::light_lost) + 1;

/// Typed losses of one file.
struct FileLosses {
  std::uint32_t file = 0;
  std::uint32_t losses = 0;
  std::uint32_t negative = 0;
  std::uint32_t far_negative = 0;   ///< like levels in dBm: below −5
  std::uint32_t near_headroom = 0;  ///< nearer to limit less typical loss than to typical loss
  std::uint32_t near_loss = 0;      ///< the other way round
};

/// What bad strands may have in common.
enum class Factor : std::uint8_t { end_a, end_b, cable, building, position, operator_name, source, cords };

struct FactorCount {
  Factor factor = Factor::end_a;
  std::string level;
  std::uint32_t tested = 0;  ///< strands with an outcome
  std::uint32_t bad = 0;     ///< strands with a test that fails
  std::uint64_t who = 0;     ///< sum of the bad strands' marks: the same for the same strands
  std::uint64_t links = 0;   ///< bits of the links of the bad strands, by hash
  std::vector<std::uint32_t> bad_tests;
};

/// The values of one column of a table, as one number.
struct ColumnPrint {
  std::uint64_t print = 0;
  std::uint32_t sample = 0;
  std::uint32_t count = 0;
};

struct BlockFacts {
  Suspects suspects;
  SessionFacts sessions;
  std::array<std::vector<std::uint32_t>, reasons> by_reason;
  std::vector<std::uint32_t> repeated;
  std::vector<FileLosses> files;
  std::vector<FactorCount> factors;
  std::vector<ColumnPrint> prints;
  std::vector<InstrumentUse> instruments;
};

/// Rows of readings of a strand, in the order in which they were read in.
using ReadingsOf = std::function<std::span<const std::uint32_t>(std::uint32_t strand)>;

BlockFacts examine_block(const Assessment& all, const DiagnosisPractice& practice, const Block& block,
                         std::uint32_t number, const ReadingsOf& readings_of);

/// Repeats of one test where an earlier reading failed and the last one passed by no more than noise.
void detect_selection(const Assessment& all, const DiagnosisPractice& practice, std::uint32_t test,
                      std::span<const std::uint32_t> readings, Suspects& out);

}  // namespace strandbook
