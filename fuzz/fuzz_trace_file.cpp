// Any bytes as a file with traces: traces whose samples and scales can be, or a Problem; never a crash. A
// record of known blocks is written and read again to the same samples; blocks of a damaged map, which are
// kept as they were, may hide each other when they are read again.

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "edge/traces/trace_file.hpp"
#include "edge/traces/trace_record.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace strandbook;
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  const auto file = read_trace_file(bytes, "fuzz.rec");
  if (!file) {
    if (file.problem().wanted.empty()) std::abort();
    return 0;
  }
  for (const Trace& trace : file->traces)
    if (!(trace.step.value > 0) || !std::isfinite(trace.step.value) || trace.level_db.size() > most_points)
      std::abort();
  if (!is_trace_record(bytes)) return 0;
  const auto record = read_trace_record(bytes, "fuzz.rec");
  const auto again = read_trace_record(write_trace_record(*record), "again.rec");
  if (record->opaque.empty() && (!again || again->data.samples != record->data.samples)) std::abort();
  return 0;
}
