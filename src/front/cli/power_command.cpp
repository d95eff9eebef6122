#include <fmt/format.h>

#include "edge/exchange/power_json.hpp"
#include "front/cli/check_words.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/check_power.hpp"
#include "workflow/know_applications.hpp"
#include "workflow/know_light.hpp"

namespace strandbook {
namespace {

struct PowerOptions {
  std::string file;
  std::string level;
  std::string milliwatts;
  std::string end = "receive";
  std::string application;
  std::string fibre;
  std::string lanes;
  std::string launch_min, launch_max, receive_min, receive_max;
  std::string reserve;
  std::string uncertainty;
  std::string guard = "none";
  bool sources = false;
  bool json = false;
};

std::string name_of(const LiveLevel& level) {
  std::string name = level.port.empty() ? "level" : level.port;
  if (level.lane > 0) name += fmt::format(" lane {}", level.lane);
  return name;
}

std::string measured(const CheckedLevel& each) {
  if (each.level.kind != LevelKind::level) return "";
  std::string text = fmt::format("{:.2f} dBm", each.level.level.value);
  if (each.predicted) text += " (launched less loss)";
  if (each.judged.above_low) text += fmt::format(", {:+.2f} dB to the low end", each.judged.above_low->value);
  if (each.judged.below_high)
    text += fmt::format(", {:+.2f} dB to the high end", each.judged.below_high->value);
  if (each.judged.after_reserve)
    text += fmt::format(", {:+.2f} dB after reserve", each.judged.after_reserve->value);
  return text;
}

void print_source(const char* what, const std::optional<Sourced<PowerDbm>>& bound) {
  if (bound)
    fmt::print("      {} {:.2f} dBm: {}\n", what, bound->value.value, wrapped(describe(bound->source), 8));
}

void print_level(const CheckedLevel& each, bool sources) {
  fmt::print("  {}  {} {}  {}\n", styled(each.judged.outcome), name_of(each.level), text_of(each.level.end),
             measured(each));
  if (each.judged.reason != LevelReason::none)
    fmt::print("      {}\n", wrapped(std::string(sentence_of(each.judged.reason)), 6));
  if (each.judged.attenuator.value > 0)
    fmt::print("      Attenuator of at least {:.2f} dB.\n", each.judged.attenuator.value);
  if (each.judged.unverified)
    fmt::print("      {}\n",
               wrapped("Passes by a number from memory: check it against the published table.", 6));
  if (each.window.average_only_rejects && each.judged.outcome == Outcome::pass)
    fmt::print("      {}\n",
               wrapped("Average power can reject but not prove: the standard limits the modulation "
                       "of the light.",
                       6));
  if (!sources) return;
  print_source("low alarm", each.window.low_alarm);
  print_source("low warning", each.window.low_warning);
  print_source("high warning", each.window.high_warning);
  print_source("high alarm", each.window.high_alarm);
  print_source("damage", each.window.damage);
}

void print_hazards(const HazardTable& hazards) {
  fmt::print("\n{}\n", heading("Caution"));
  for (const std::string& caution : hazards.cautions) fmt::print("  {}\n", wrapped(caution, 2));
  for (const HazardRow& row : hazards.rows) {
    const auto say = [](const std::optional<Sourced<PowerDbm>>& level) {
      return level ? fmt::format("{:+.1f} dBm", level->value.value) : std::string("–");
    };
    fmt::print("  {}\n",
               wrapped(fmt::format("{:g} nm, {}: hazard level 1 up to {}, 1M up to {}", row.wavelength.value,
                                   row.place, say(row.level_1), say(row.level_1m)),
                       4));
  }
}

void print_check(const PowerCheck& check, const PowerOptions& options, const HazardTable& hazards) {
  for (const CheckedLevel& each : check.levels) print_level(each, options.sources);
  print_leftovers(check.left);
  print_hazards(hazards);
}

Result<std::optional<PowerDbm>> own_level(const char* option, const std::string& text) {
  if (text.empty()) return std::optional<PowerDbm>{};
  const auto number = number_option(option, text, "dBm, such as -18");
  if (!number) return number.problem();
  return std::optional(PowerDbm{*number});
}

Result<Decibels> own_ratio(const char* option, const std::string& text) {
  if (text.empty()) return Decibels{};
  const auto number = number_option(option, text, "dB, such as 3");
  if (!number) return number.problem();
  return Decibels{*number};
}

/// The one row of the table that is meant: by name, and by fibre where the windows differ.
Result<const Application*> application_of(const PowerOptions& options, const ApplicationTable& rows) {
  if (options.application.empty()) return static_cast<const Application*>(nullptr);
  const Result<std::vector<std::string>> names = applications_named(rows, options.application);
  if (!names) return names.problem();
  if (names->size() > 1) {
    std::string list;
    for (const std::string& name : *names) list += (list.empty() ? "" : ", ") + name;
    return Problem{
        {"--application", {}, 0, {}}, "\"" + options.application + "\" may be " + list, "one of them", ""};
  }
  if (const Application* row = row_over(rows, names->front(), parse_fibre_category(options.fibre)))
    return row;
  return Problem{
      {"--fibre", {}, 0, {}}, "\"" + options.fibre + "\"", "a fibre that " + names->front() + " runs on", ""};
}

Result<PowerQuestion> question_of(const PowerOptions& options, const ApplicationTable& rows) {
  PowerQuestion question;
  const Result<const Application*> application = application_of(options, rows);
  if (!application) return application.problem();
  question.application = *application;
  for (const auto& [option, text, into] :
       {std::tuple{"--launch-min", &options.launch_min, &question.launch_min},
        std::tuple{"--launch-max", &options.launch_max, &question.launch_max},
        std::tuple{"--receive-min", &options.receive_min, &question.receive_min},
        std::tuple{"--receive-max", &options.receive_max, &question.receive_max}}) {
    const auto level = own_level(option, *text);
    if (!level) return level.problem();
    *into = *level;
  }
  const auto reserve = own_ratio("--reserve", options.reserve);
  if (!reserve) return reserve.problem();
  question.reserve = *reserve;
  const auto uncertainty = own_ratio("--expanded-uncertainty", options.uncertainty);
  if (!uncertainty) return uncertainty.problem();
  question.expanded_uncertainty = *uncertainty;
  const auto guard = parse_guard_band(options.guard);
  if (!guard) return Problem{{"--guard", {}, 0, {}}, "\"" + options.guard + "\"", "none or U", ""};
  question.guard = *guard;
  return question;
}

/// A level typed in dBm or mW; several lanes seen together are brought to their mean.
Result<LiveLevel> typed_level(const PowerOptions& options, const PowerQuestion& question,
                              const PowerLevels& meanings) {
  LiveLevel level;
  level.end = options.end == "launch" ? LevelEnd::launch : LevelEnd::receive;
  level.standard_uncertainty = question.expanded_uncertainty / 2;
  const bool watts = !options.milliwatts.empty();
  const auto number = number_option(watts ? "--mw" : "--level", watts ? options.milliwatts : options.level,
                                    watts ? "mW, such as 0.58" : "dBm, such as -2.36");
  if (!number) return number.problem();
  if (watts && *number < 0) return Problem{{"--mw", {}, 0, {}}, options.milliwatts, "mW, 0 or more", ""};
  level.level = watts ? to_dbm({*number}) : PowerDbm{*number};
  if (level.level <= meanings.no_light.value) level.kind = LevelKind::no_light;
  if (level.end == LevelEnd::receive && meanings.implausible_receive.value < level.level)
    return Problem{
        {"--level", {}, 0, {}}, options.level + " dBm", "a received level", "Was the minus sign left out?"};
  if (options.lanes.empty()) return level;
  const auto lanes = number_option("--lanes-together", options.lanes, "a whole number, such as 4");
  if (!lanes) return lanes.problem();
  if (*lanes < 1) return Problem{{"--lanes-together", {}, 0, {}}, options.lanes, "1 or more", ""};
  level.level = mean_lane_power(level.level, static_cast<int>(*lanes));
  return level;
}

Result<PowerCheck> check_of(const PowerOptions& options, const PowerQuestion& question,
                            const PowerLevels& meanings) {
  if (!options.file.empty()) return check_power_file(options.file, question, meanings);
  const Result<LiveLevel> level = typed_level(options, question, meanings);
  if (!level) return level.problem();
  PowerCheck check;
  check.levels.push_back(check_level(*level, question));
  return check;
}

int run_power(const PowerOptions& options) {
  const auto known = know_applications();
  if (!known) return refuse(known.problem());
  const Result<KnownLight> light = know_light();
  if (!light) return refuse(light.problem());
  const Result<PowerQuestion> question = question_of(options, (*known)->rows());
  if (!question) return refuse(question.problem());
  const Result<PowerCheck> check = check_of(options, *question, light->levels);
  if (!check) return refuse(check.problem());
  if (options.json)
    fmt::print("{}\n", levels_json(check->levels, check->left));
  else
    print_check(*check, options, light->hazards);
  return all_hold(*check) ? 0 : 1;
}

}  // namespace

void add_power_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<PowerOptions>();
  CLI::App* command = app.add_subcommand("power", "Levels of live equipment against their window");
  command->add_option("--levels", options->file, "A file of levels, one row per port or lane");
  command->add_option("--level", options->level, "One level, dBm");
  command->add_option("--mw", options->milliwatts, "One level, mW");
  command->add_option("--end", options->end, "Where: launch or receive")
      ->check(CLI::IsMember({"launch", "receive"}));
  command->add_option("--lanes-together", options->lanes, "Lanes that the meter saw together");
  command->add_option("--application", options->application, "The application, such as 10GBASE-LR");
  command->add_option("--fibre,--fiber", options->fibre, "The fibre, where the application's windows differ");
  command->add_option("--launch-min", options->launch_min, "Your own window: least launch power, dBm");
  command->add_option("--launch-max", options->launch_max, "Most launch power, dBm");
  command->add_option("--receive-min", options->receive_min, "Receiver sensitivity, dBm");
  command->add_option("--receive-max", options->receive_max, "Receiver overload, dBm");
  command->add_option("--reserve", options->reserve, "Reserve demanded above sensitivity, dB");
  command->add_option("--expanded-uncertainty", options->uncertainty, "Uncertainty of a level (k = 2), dB");
  command->add_option("--guard", options->guard, "Guard band: none or U");
  command->add_flag("--sources", options->sources, "Print each number's source");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_power(*options); });
}

}  // namespace strandbook
