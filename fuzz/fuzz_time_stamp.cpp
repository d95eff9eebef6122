// Any bytes as a time-stamp response: a stamp over these bytes or a Problem, never a crash.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "edge/book/time_stamp.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  const auto stamp = strandbook::read_time_stamp(bytes, "head\n", "fuzz");
  if (!stamp && stamp.problem().advice.empty()) std::abort();
  return 0;
}
