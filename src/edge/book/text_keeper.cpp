#include "edge/book/text_keeper.hpp"

#include <algorithm>
#include <memory>
#include <utility>
#include <vector>

namespace strandbook {

char* TextKeeper::room_for(std::size_t size) {
  // One reading needs little, a million need large blocks.
  constexpr std::size_t largest = std::size_t{1} << 18U;
  if (left_ < size) {
    const auto bytes = std::make_shared<std::vector<char>>(std::max(block_, size));
    block_ = std::min(2 * block_, largest);
    next_ = bytes->data();
    left_ = bytes->size();
    set_.keep(bytes);
  }
  left_ -= size;
  return std::exchange(next_, next_ + size);
}

std::string_view TextKeeper::keep(std::string_view text) {
  if (text.empty()) return {};
  const auto known = known_.find(text);
  if (known != known_.end()) return *known;
  char* room = room_for(text.size());
  std::copy(text.begin(), text.end(), room);
  return *known_.insert({room, text.size()}).first;
}

}  // namespace strandbook
