#pragma once
// Cells repeat: 850, 1300, 850, 1300. What the last few texts came to, so that they are parsed once.

#include <array>
#include <cstddef>
#include <string_view>

namespace strandbook {

/// Holds views of the texts: they must outlive it.
template <class T>
class RecentCells {
 public:
  template <class Parse>
  const T& find(std::string_view text, Parse parse) {
    for (std::size_t i = 0; i < used_; ++i)
      if (entries_[i].text == text) return entries_[i].value;
    Entry& entry = entries_[used_ < entries_.size() ? used_++ : next_++ % entries_.size()];
    entry = {text, parse(text)};
    return entry.value;
  }

 private:
  struct Entry {
    std::string_view text;
    T value{};
  };
  std::array<Entry, 4> entries_;
  std::size_t used_ = 0;
  std::size_t next_ = 0;
};

}  // namespace strandbook
