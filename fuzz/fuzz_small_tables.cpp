// Any bytes as tables of arrays, cords, inspections and reels: rows, problems with places, or a refusal;
// never a crash.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "edge/exchange/cord_table.hpp"
#include "edge/exchange/inspection_table.hpp"
#include "edge/exchange/reel_table.hpp"

namespace {

using namespace strandbook;

template <class Row>
void check(const Result<ReadRows<Row>>& read) {
  if (!read && read.problem().wanted.empty()) std::abort();
  if (!read) return;
  for (const Problem& problem : read->unread)
    if (problem.at.row == 0 || problem.wanted.empty()) std::abort();
}

void check_marks(const Result<ReadRows<InspectedFace>>& read) {
  if (!read) return;
  for (const InspectedFace& face : read->rows)
    for (const SeenMark& mark : face.marks)
      if (mark.count < 1 || !(mark.size.value >= 0)) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto sheets = read_grids_from_bytes({reinterpret_cast<const char*>(data), size}, "fuzz.csv");
  if (!sheets) return 0;
  check(read_traced_arrays(*sheets));
  check(read_wanted_arrays(*sheets));
  check(read_measured_arrays(*sheets));
  check(read_matings(*sheets));
  check(read_reels(*sheets));
  const auto faces = read_inspections(*sheets);
  check(faces);
  check_marks(faces);
  return 0;
}
