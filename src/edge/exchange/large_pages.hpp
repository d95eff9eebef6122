#pragma once
// Large memory pages for arrays that are filled once and hold a whole job.

#include <cstddef>

namespace strandbook {

/// Asks the system to back [start, start + bytes) with large pages. Only a wish: where the system has none,
/// nothing changes. Measured on a virtual machine with a million readings (192 MB): touching ordinary pages
/// cost 0.6 s, four times the reading itself; large pages 0.04 to 0.4 s.
void prefer_large_pages(const void* start, std::size_t bytes);

}  // namespace strandbook
