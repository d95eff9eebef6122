#pragma once
// Facts of a book in one compact file, to be carried to another: docs/carry-files.md.

#include <cstdint>
#include <map>
#include <string>

#include "edge/book/taking_in.hpp"

namespace strandbook {

/// Which facts go along.
struct FactsToCarry {
  /// Furthest number of each device that the other side holds; what is not named goes whole.
  std::map<Uuid, std::int64_t> after;
};

struct Carried {
  std::size_t facts = 0;
  std::size_t files = 0;
  std::size_t signatures = 0;
};

/// Writes the file whole or not at all; refuses a name that is taken.
Result<Carried> write_carry_file(const Store& store, const FactsToCarry& wish, const std::string& path);

/// Takes a carry-file in, in one transaction. A file that is cut off or is no carry-file is refused whole.
Result<TakenIn> take_in_carry_file(Store& into, const std::string& path);

/// The ends of all chains, signed where they are, as text: what a report or another book can hold against
/// this one later.
Result<std::vector<Head>> ends_of(const Store& store);
std::string heads_text(const std::vector<Head>& heads);
Result<std::vector<Head>> parse_heads(std::string_view text, const std::string& name);

}  // namespace strandbook
