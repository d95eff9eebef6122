#include "edge/exchange/large_pages.hpp"

#include <sys/mman.h>

#include <cstdint>

namespace strandbook {

void prefer_large_pages(const void* start, std::size_t bytes) {
#ifdef MADV_HUGEPAGE
  constexpr std::uintptr_t page = std::uintptr_t{1} << 21;
  const auto from = (reinterpret_cast<std::uintptr_t>(start) + page - 1) & ~(page - 1);
  const auto to = (reinterpret_cast<std::uintptr_t>(start) + bytes) & ~(page - 1);
  if (from >= to) return;
  // NOLINTNEXTLINE(performance-no-int-to-ptr): page bounds can only be worked out on the address
  if (madvise(reinterpret_cast<void*>(from), to - from, MADV_HUGEPAGE) != 0)
    return;  // a wish refused is no failure
#else
  static_cast<void>(start);
  static_cast<void>(bytes);
#endif
}

}  // namespace strandbook
