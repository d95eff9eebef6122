// Any bytes as recorded results: a recording or a Problem, never a crash; and a recording can be held against
// itself.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "domain/review/compare_jobs.hpp"
#include "edge/exchange/recorded_file.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace strandbook;
  const auto job = read_recorded_text({reinterpret_cast<const char*>(data), size}, "fuzz.json");
  if (!job) {
    if (job.problem().wanted.empty()) std::abort();
    return 0;
  }
  const Comparison all = compare_jobs(*job, *job, {});
  if (!all.changed.empty() || !all.outcomes.empty()) std::abort();
  return 0;
}
