#include <fmt/format.h>

#include "front/cli/check_words.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/check_cords.hpp"

namespace strandbook {
namespace {

constexpr std::size_t matings_shown = 15;

struct CordsOptions {
  std::string matings;
  std::string grade;
  std::string return_loss;
  bool sources = false;
  bool json = false;
};

void print_matings(const CordWork& work, const std::vector<std::size_t>& which, const std::string& title) {
  if (!which.empty()) fmt::print("\n{}\n", heading(title));
  for (std::size_t i = 0; i < std::min(which.size(), matings_shown); ++i) {
    const Mating& mating = work.matings[which[i]];
    fmt::print("  {:<16} {:<10} {:.2f} dB", mating.cord.empty() ? "(no name)" : mating.cord, mating.end,
               mating.loss.value);
    if (mating.return_loss) fmt::print("  return loss {:.1f} dB", mating.return_loss->value);
    fmt::print("\n");
  }
  if (which.size() > matings_shown)
    fmt::print("  ... and {} more; --json lists them all.\n", which.size() - matings_shown);
}

void print_numbers(const CordWork& work) {
  const CordsJudgement& judged = work.judged;
  fmt::print("  {}  grade {}, {} matings\n", styled(judged.outcome), work.grade.name, judged.matings);
  if (judged.matings > 0)
    fmt::print("      mean {}\n      share {}\n", styled(judged.mean.outcome), styled(judged.share.outcome));
  if (judged.return_loss) fmt::print("      return loss {}\n", styled(judged.return_loss->outcome));
  print_reasons(judged.reasons);
}

void print_sources(const CordWork& work) {
  print_source(fmt::format("mean {:.2f} dB", work.grade.mean.value.value), work.grade.mean.source);
  print_source(
      fmt::format("{:.0f} % within {:.2f} dB", work.grade.share.value * 100, work.grade.most.value.value),
      work.grade.most.source);
  if (work.return_loss)
    print_source(fmt::format("return loss {:.0f} dB", work.return_loss->least.value.value),
                 work.return_loss->least.source);
}

int run_cords(const CordsOptions& options) {
  const Result<CordWork> work = check_cords(options.matings, options.grade, options.return_loss);
  if (!work) return refuse(work.problem());
  if (options.json) {
    fmt::print("{}\n", cords_json(work->matings, work->judged, work->grade,
                                  work->return_loss ? &*work->return_loss : nullptr, work->left));
    return all_hold(*work) ? 0 : 1;
  }
  fmt::print("{}\n", heading("Cords"));
  print_numbers(*work);
  if (options.sources) print_sources(*work);
  print_matings(*work, work->judged.exceeding, fmt::format("Beyond {:.2f} dB", work->grade.most.value.value));
  if (work->judged.return_loss) print_matings(*work, work->judged.return_loss->below, "Return loss too low");
  print_leftovers(work->left);
  return all_hold(*work) ? 0 : 1;
}

}  // namespace

void add_cords_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<CordsOptions>();
  CLI::App* command = app.add_subcommand("cords", "Cords and jumpers: measured matings against a grade");
  command->add_option("--matings", options->matings, "Measured matings: cord, end, loss, return loss")
      ->required();
  command->add_option("--grade", options->grade, "Attenuation grade: B, C, D; Bm, Cm for multimode")
      ->required();
  command->add_option("--return-loss-grade", options->return_loss, "Return loss grade: 1, 2, 3 or 4");
  command->add_flag("--sources", options->sources, "Print each number's source");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_cords(*options); });
}

}  // namespace strandbook
