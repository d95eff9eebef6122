#include <fmt/format.h>

#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/compare_recordings.hpp"

namespace strandbook {
namespace {

constexpr std::size_t changes_shown = 20;

struct CompareOptions {
  std::string before;
  std::string after;
  std::string rate;
  bool json = false;
};

std::string name_of(const RecordedTest& test) {
  return fmt::format("{} {} {:g} nm {}", test.link, test.strand, test.wavelength.value,
                     test.direction ? text_of(*test.direction) : "");
}

void print_changes(const ComparedJobs& work) {
  const Comparison& all = work.comparison;
  if (!all.changed.empty()) fmt::print("\n{}\n", heading("Changed beyond uncertainty, the largest first"));
  for (std::size_t i = 0; i < std::min(all.changed.size(), changes_shown); ++i) {
    const TestPair& pair = all.pairs[all.changed[i]];
    const RecordedTest& old = work.before.tests[pair.before];
    const RecordedTest& now = work.after.tests[pair.after];
    fmt::print("  {} {:<32} {:.2f} → {:.2f} dB, {:+.2f} ± {:.2f} dB\n", pair.apart.value > 0 ? "▲" : "▼",
               name_of(old), old.loss->value, now.loss->value, pair.apart.value,
               2 * pair.apart_uncertainty.value);
  }
  if (all.changed.size() > changes_shown)
    fmt::print("  ... and {} more; --json lists them all.\n", all.changed.size() - changes_shown);
}

void print_moves(const Comparison& all) {
  for (const SharedMove& move : all.moves) {
    if (!move.settled) continue;
    fmt::print("  {} {} tests at {:g} nm moved together by {:+.3f} ± {:.3f} dB ({} → {}){}\n",
               move.beyond ? "◐" : "·", move.tests, move.wavelength.value, move.move.value,
               2 * move.uncertainty.value, move.reference_before.empty() ? "?" : move.reference_before,
               move.reference_after.empty() ? "?" : move.reference_after,
               move.beyond ? ": beyond uncertainty" : "; taken off each change");
  }
}

void print_outcomes(const ComparedJobs& work) {
  const Comparison& all = work.comparison;
  if (!all.outcomes.empty()) fmt::print("\n{}\n", heading("Other outcomes"));
  for (std::size_t i = 0; i < std::min(all.outcomes.size(), changes_shown); ++i) {
    const TestPair& pair = all.pairs[all.outcomes[i]];
    const RecordedTest& old = work.before.tests[pair.before];
    fmt::print("  {:<32} {} → {}\n", name_of(old), styled(old.outcome),
               styled(work.after.tests[pair.after].outcome));
  }
  if (all.outcomes.size() > changes_shown)
    fmt::print("  ... and {} more; --json lists them all.\n", all.outcomes.size() - changes_shown);
}

void print_names(const std::vector<std::string>& names, const char* title) {
  if (!names.empty()) fmt::print("\n{}\n", heading(title));
  for (std::size_t i = 0; i < std::min(names.size(), changes_shown); ++i) fmt::print("  {}\n", names[i]);
  if (names.size() > changes_shown) fmt::print("  ... and {} more.\n", names.size() - changes_shown);
}

int run_compare(const CompareOptions& options) {
  ComparisonSettings settings;
  if (!options.rate.empty()) {
    const Result<double> rate = number_option("--false-alarms", options.rate, "a share such as 0.05");
    if (!rate) return refuse(rate.problem());
    if (*rate <= 0 || *rate >= 0.5)
      return refuse(bad_option("--false-alarms", options.rate, "a share above 0 and below 0.5"));
    settings.false_alarm_rate = *rate;
  }
  const Result<ComparedJobs> work = compare_recordings(options.before, options.after, settings);
  if (!work) return refuse(work.problem());
  if (options.json) {
    fmt::print("{}\n", comparison_json(*work));
    return all_as_before(*work) ? 0 : 1;
  }
  const Comparison& all = work->comparison;
  fmt::print("{}\n", heading("Before and after"));
  fmt::print("  {} tests in both, {} with a loss in both; {} changed, {} with another outcome.\n",
             all.pairs.size(), all.compared, all.changed.size(), all.outcomes.size());
  fmt::print("  At most {:.0f} % of the changes told are expected to be chance.\n",
             settings.false_alarm_rate * 100);
  print_moves(all);
  print_changes(*work);
  print_outcomes(*work);
  print_names(all.gone_strands, "Strands that are gone");
  print_names(all.new_strands, "New strands");
  return all_as_before(*work) ? 0 : 1;
}

}  // namespace

void add_compare_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<CompareOptions>();
  CLI::App* command =
      app.add_subcommand("compare", "Two recordings of one plant: what changed beyond uncertainty");
  command->add_option("BEFORE", options->before, "A book, or the JSON of assess")->required();
  command->add_option("AFTER", options->after, "A book, or the JSON of assess")->required();
  command->add_option("--false-alarms", options->rate,
                      "Share of the changes told that may be chance; 0.05 where nothing is said");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_compare(*options); });
}

}  // namespace strandbook
