// bench-applications RULES FOLDER STRANDS: every strand against every application of its fibre, on one core.
// Writes strands and tables into the folder, so that another program can answer the same, and prints the
// seconds.

#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <fstream>

#include "domain/applications/job_carries.hpp"
#include "edge/exchange/application_file.hpp"
#include "edge/exchange/link_model_file.hpp"
#include "edge/exchange/test_windows_file.hpp"

namespace {

using namespace strandbook;

struct Strand {
  FibreCategory fibre;
  Metres length;
  std::array<MeasuredLoss, 2> losses;
};

std::vector<Strand> strands_of(std::size_t count) {
  std::uint64_t state = 20261125;
  const auto share = [&state] {
    state = state * 6364136223846793005U + 1442695040888963407U;
    return static_cast<double>(state >> 11U) / 9007199254740992.0;
  };
  constexpr std::array fibres = {FibreCategory::om3, FibreCategory::om4, FibreCategory::os2};
  std::vector<Strand> strands(count);
  for (Strand& strand : strands) {
    strand.fibre = fibres[static_cast<std::size_t>(share() * 3)];
    const bool multimode = strand.fibre != FibreCategory::os2;
    strand.length = {share() * (multimode ? 300 : 12000)};
    const double loss = 0.3 + share() * (multimode ? 3 : 8);
    strand.losses[0] = {
        {multimode ? 850.0 : 1310.0}, {loss}, {0.1}, {loss}, DecibelsPerKilometre{multimode ? 3.0 : 0.4}};
    strand.losses[1] = {{multimode ? 1300.0 : 1550.0},
                        {loss * 0.8},
                        {0.1},
                        {loss * 0.8},
                        DecibelsPerKilometre{multimode ? 1.0 : 0.3}};
  }
  return strands;
}

/// What the rival needs: the numbers alone, one wavelength each.
void write_tables(const std::string& folder, const std::vector<Strand>& strands,
                  const ApplicationTable& rows) {
  std::ofstream strand_file(folder + "/strands.csv");
  strand_file << "fibre,length_m,loss_db\n";
  for (const Strand& strand : strands)
    strand_file << fmt::format("{},{:.3f},{:.4f}\n", text_of(strand.fibre), strand.length.value,
                               strand.losses[0].loss.value);
  std::ofstream row_file(folder + "/rows.csv");
  row_file << "row,fibre,max_length_m,max_loss_db\n";
  for (std::size_t row = 0; row < rows.size(); ++row)
    for (const FibreCategory fibre : rows[row].categories)
      if (rows[row].max_length && rows[row].max_loss)
        row_file << fmt::format("{},{},{},{}\n", row, text_of(fibre), rows[row].max_length->value.value,
                                rows[row].max_loss->value.value);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) return 2;
  const std::string rules = argv[1];
  const auto rows = read_applications(rules + "/applications");
  const auto windows = read_test_windows(rules + "/practice/test-windows.json");
  const auto models = read_link_models(rules);
  if (!rows || !windows || !models) return 2;
  const LinkModelInputs& formula = models->rows.front().inputs;
  const CarryTable table(*rows, *windows, {formula.attenuation_floor, formula.attenuation_per_nm});
  const std::vector<Strand> strands = strands_of(std::strtoul(argv[3], nullptr, 10));
  write_tables(argv[2], strands, *rows);
  std::array<std::size_t, 4> counts{};
  std::size_t answers = 0;
  const auto begun = std::chrono::steady_clock::now();
  for (const Strand& strand : strands) {
    const MeasuredChannel channel{strand.fibre, DecibelsPerKilometre{0.4}, strand.length, strand.losses,
                                  GuardBand::expanded_uncertainty};
    for (const std::uint32_t row : table.rows_for(strand.fibre)) {
      ++counts[static_cast<std::size_t>(table.judge(row, channel).carries)];
      ++answers;
    }
  }
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
  fmt::print("seconds={:.4f} answers={} supported={} not_supported={}\n", took.count(), answers, counts[0],
             counts[3]);
  return 0;
}
