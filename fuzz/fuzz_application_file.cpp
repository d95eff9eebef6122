// Any bytes as an application file: rows or a Problem, never a crash; and what was read keeps its promises.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "edge/exchange/application_file.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace strandbook;
  const auto rows = read_application_text({reinterpret_cast<const char*>(data), size}, "fuzz.json");
  if (!rows) {
    if (rows.problem().wanted.empty() || rows.problem().at.row == 0) std::abort();
    return 0;
  }
  for (const Application& row : *rows) {
    if (row.name.empty() || row.wavelengths.empty() || row.lanes < 1 || row.strands < 1) std::abort();
    if (row.min_loss && row.max_loss && row.max_loss->value <= row.min_loss->value) std::abort();
    const PowerWindow& window = row.window;
    if (window.launch_min && window.launch_max && window.launch_max->value < window.launch_min->value)
      std::abort();
  }
  return 0;
}
