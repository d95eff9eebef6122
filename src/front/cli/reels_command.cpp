#include <fmt/format.h>

#include "front/cli/check_words.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/check_reels.hpp"

namespace strandbook {
namespace {

struct ReelsOptions {
  std::string file;
  std::string allowed;
  ReelWish wish;
  bool json = false;
};

const char* shape_of(ReelStatus status) {
  switch (status) {
    case ReelStatus::released:
      return "●";
    case ReelStatus::on_hold:
      return "✕";
    case ReelStatus::approved:
      return "◐";
  }
  return "";
}

void print_reel_line(const ReelLine& line) {
  const ReelReading& reading = line.reading;
  const auto value = [](const std::optional<DecibelsPerKilometre>& each) {
    return each ? fmt::format("{:.3f}", each->value) : std::string("–");
  };
  fmt::print("    {:<8} {:>5g} nm  maker {:>6}  site {:>6} dB/km", reading.strand, reading.wavelength.value,
             value(reading.maker), value(reading.site));
  if (line.word != ReelWord::incomplete) fmt::print("  {:+.2f} %", line.deviation_percent);
  if (line.word != ReelWord::agrees) fmt::print("  ← {}", text_of(line.word));
  fmt::print("\n");
}

int run_reels(const ReelsOptions& options) {
  ReelWish wish = options.wish;
  if (!options.allowed.empty()) {
    const char* wanted = "percent from 0 to 100, such as 5";
    const Result<double> allowed = number_option("--allowed", options.allowed, wanted);
    if (!allowed) return refuse(allowed.problem());
    if (*allowed < 0 || *allowed > 100) return refuse(bad_option("--allowed", options.allowed, wanted));
    wish.allowed_percent = *allowed;
  }
  const Result<ReelWork> work = check_reels(options.file, wish);
  if (!work) return refuse(work.problem());
  if (options.json) {
    fmt::print("{}\n", reels_json(*work));
    return all_hold(*work) ? 0 : 1;
  }
  const ReelsJudgement& all = work->judged;
  fmt::print("{}\n  Allowed: {:g} % off the maker's record. {}\n", heading("Reels before they are laid"),
             all.allowed_percent.value, describe(all.allowed_percent.source));
  for (const ReelJudgement& reel : all.reels) {
    fmt::print("  {} {}: {}\n      {}\n", shape_of(reel.status), heading(reel.reel), text_of(reel.status),
               wrapped(reel.words, 6));
    for (const std::uint32_t at : reel.lines) print_reel_line(all.lines[at]);
  }
  print_leftovers(work->left);
  return all_hold(*work) ? 0 : 1;
}

}  // namespace

void add_reels_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<ReelsOptions>();
  CLI::App* command =
      app.add_subcommand("reels", "Cable on its reel: the site's attenuation against the maker's record");
  command->add_option("FILE", options->file, "Table: reel, strand, wavelength, maker and site in dB/km")
      ->required();
  command->add_option("--profile", options->wish.profile,
                      "Owner's profile that says what is allowed: id or file");
  command->add_option("--allowed", options->allowed, "Deviation allowed, percent of the maker's value");
  command->add_option("--source", options->wish.source, "Where that number is written");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_reels(*options); });
}

}  // namespace strandbook
