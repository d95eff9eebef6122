#pragma once
// The map of a trace record: which blocks there are, and where.

#include <string>
#include <string_view>
#include <vector>

#include "edge/traces/trace_record.hpp"

namespace strandbook {

struct FoundBlock {
  std::string name;
  std::uint16_t revision = 0;
  std::size_t start = 0;   ///< in the file
  std::string_view bytes;  ///< all of the block
};

struct RecordMap {
  RecordVersion version = RecordVersion::two;
  std::uint16_t revision = 0;
  std::vector<FoundBlock> blocks;
};

/// What went wrong, at a block.
Problem record_problem(const std::string& file, std::string_view block, std::string found, std::string wanted,
                       std::string advice = {});

/// Finds the blocks; a size that cannot be, or a name that stands elsewhere, is mended where the names of
/// version 2 allow it and told in `warnings`.
Result<RecordMap> read_record_map(std::string_view bytes, const std::string& file,
                                  std::vector<Problem>& warnings);

}  // namespace strandbook
