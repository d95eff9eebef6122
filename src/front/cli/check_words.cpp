#include "front/cli/check_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "front/cli/terminal.hpp"

namespace strandbook {

void print_leftovers(const Leftovers& left) {
  if (!left.unread.empty()) fmt::print("\n{}\n", heading("Rows not used (kept)"));
  for (const Problem& row : left.unread) fmt::print("  {}\n", wrapped(describe(row), 4));
  if (!left.notes.empty()) fmt::print("\n{}\n", heading("How the files were understood"));
  for (const ImportNote& note : left.notes)
    fmt::print("  {}\n", wrapped(fmt::format("{}{}{}: {}", note.file, note.sheet.empty() ? "" : ", ",
                                             note.sheet, note.text),
                                 4));
}

void print_cautions(const std::vector<std::string>& cautions) {
  fmt::print("\n{}\n", heading("Caution"));
  for (const std::string& caution : cautions) fmt::print("  {}\n", wrapped(caution, 2));
}

void print_reasons(const std::vector<std::string>& reasons) {
  for (const std::string& reason : reasons) fmt::print("      {}\n", wrapped(reason, 6));
}

void print_source(const std::string& what, const RuleRef& source) {
  fmt::print("      {}\n", wrapped(fmt::format("{}: {}", what, describe(source)), 8));
  if (!source.note.empty()) fmt::print("        {}\n", wrapped(source.note, 8));
}

std::vector<std::string> words_on_losses(const LossJudgement& loss) {
  std::vector<std::string> all;
  for (const SeriesLosses& each : loss.series) {
    const LaneLosses& lanes = each.losses;
    std::string text = fmt::format("worst {:.2f} dB", lanes.worst.value);
    if (lanes.worst_position > 0) text += fmt::format(" at near {}", lanes.worst_position);
    if (lanes.count > 1) text += fmt::format(", spread {:.2f} dB", lanes.spread.value);
    if (lanes.slope) text += fmt::format(", slope {:+.3f} dB per position", lanes.slope->value);
    all.push_back(each.series.empty() ? text : each.series + ": " + text);
  }
  return all;
}

}  // namespace strandbook
