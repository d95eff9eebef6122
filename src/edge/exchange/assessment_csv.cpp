#include <algorithm>
#include <thread>

#include "edge/exchange/assessment_out.hpp"
#include "edge/exchange/output_file.hpp"
#include "edge/exchange/text_out.hpp"

namespace strandbook {
namespace {

constexpr std::size_t tests_per_block = 32768;

void append_line(std::string& out, const Assessment& all, const JudgedTest& test) {
  constexpr int decimals = 6;
  const ScheduledStrand& strand = all.schedule[test.strand];
  append_csv_cell(out, link_name(strand));
  out += ',';
  append_csv_cell(out, strand.strand);
  out += ',';
  if (test.wavelength.value > 0) append_decimal(out, test.wavelength.value, 3);
  out += ',';
  if (test.direction) out += text_of(*test.direction);
  out += ',';
  if (test.has_loss) append_decimal(out, test.loss.value, decimals);
  out += ',';
  if (test.has_loss) append_decimal(out, test.standard_uncertainty.value, decimals);
  out += ',';
  if (test.limit != nothing) append_decimal(out, all.limits[test.limit].value.value, decimals);
  out += ',';
  if (test.limit != nothing && test.has_loss)
    append_decimal(out, (all.limits[test.limit].value - test.loss).value, decimals);
  out += ',';
  if (test.judged()) append_decimal(out, test.conformance, decimals);
  out += ',';
  out += text_of(test.outcome);
  out += ',';
  append_csv_cell(out, sentence_of(test.reason));
  out += '\n';
}

std::string block_of(const Assessment& all, std::size_t first, std::size_t last) {
  std::string out;
  out.reserve((last - first) * 96);
  for (std::size_t i = first; i < last; ++i) append_line(out, all, all.tests[i]);
  return out;
}

}  // namespace

Result<Done> write_assessment_csv(const JudgedJob& job, const std::string& path, const Progress& progress) {
  Result<OutputFile> file = OutputFile::create(path);
  if (!file) return file.problem();
  file->write(
      "link,strand,wavelength_nm,direction,loss_db,uncertainty_db,limit_db,margin_db,conformance_probability,"
      "outcome,"
      "reason\n");
  const Assessment& all = job.assessment;
  const std::size_t count = all.tests.size();
  // Two blocks at a time, one on a second thread: turning numbers into text is most of the work.
  for (std::size_t first = 0; first < count; first += 2 * tests_per_block) {
    const std::size_t middle = std::min(count, first + tests_per_block);
    const std::size_t last = std::min(count, middle + tests_per_block);
    std::string second;
    std::thread helper([&] { second = block_of(all, middle, last); });
    file->write(block_of(all, first, middle));
    helper.join();
    file->write(second);
    if (progress && !progress(static_cast<double>(last) / static_cast<double>(count))) return cancelled(path);
  }
  return file->commit();
}

}  // namespace strandbook
