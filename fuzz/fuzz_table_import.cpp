// Whatever the bytes, all three imports end: with rows that view kept texts and hold finite values, or with
// a Problem that says what to do.

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "edge/exchange/table_import.hpp"

namespace {

void demand(bool holds) {
  if (!holds) std::abort();
}

void check(const strandbook::ImportedReadings& imported) {
  std::size_t letters = 0;
  for (const strandbook::Reading& reading : imported.readings.rows) {
    for (const std::string_view text :
         {reading.link, reading.strand, reading.reference, reading.operator_name})
      for (const char c : text) letters += c != '\0' ? 1 : 0;
    demand(std::isfinite(reading.value) && !(reading.link.empty() && reading.strand.empty()));
    demand(reading.row > 0 && reading.column > 0 && reading.file < imported.readings.files.size());
  }
  demand(letters < SIZE_MAX);
  for (const strandbook::Problem& problem : imported.unread) demand(!problem.wanted.empty());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  auto grids = strandbook::read_grids_from_bytes({reinterpret_cast<const char*>(data), size}, "fuzz.csv");
  if (!grids) return 0;
  const strandbook::ImportChoices choices{{}, strandbook::LossSign::change_of_level, {}};
  const auto schedule = strandbook::import_schedule(*grids, choices);
  const auto references = strandbook::import_references(*grids, choices);
  auto readings = strandbook::import_readings(*grids, {}, schedule ? &(*schedule).strands : nullptr);
  for (const bool sound : {schedule ? true : !schedule.problem().advice.empty(),
                           references ? true : !references.problem().advice.empty(),
                           readings ? true : !readings.problem().advice.empty()})
    demand(sound);
  grids = std::vector<strandbook::Grid>{};  // readings must not view into what is gone
  if (readings) check(*readings);
  return 0;
}
