#pragma once
// Texts of a million readings, each distinct one kept once and alive as long as its ReadingSet.

#include <cstddef>
#include <string_view>
#include <unordered_set>

#include "domain/readings/reading.hpp"

namespace strandbook {

class TextKeeper {
 public:
  /// The set must outlive the keeper.
  explicit TextKeeper(ReadingSet& set) : set_(set) {}
  std::string_view keep(std::string_view text);

 private:
  char* room_for(std::size_t size);
  ReadingSet& set_;
  std::unordered_set<std::string_view> known_;
  char* next_ = nullptr;
  std::size_t left_ = 0;
  std::size_t block_ = 512;  ///< bytes of the next one
};

}  // namespace strandbook
