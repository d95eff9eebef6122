#include <fmt/format.h>

#include <algorithm>

#include "front/cli/check_words.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/check_array.hpp"

namespace strandbook {
namespace {

constexpr int positions_a_row = 12;

struct ArraysOptions {
  ArrayFiles files;
  std::string type;
  std::string fibres;
  std::string limit;
  std::string skew_limit;
  std::string fibre;
  std::string wavelength;
  bool sources = false;
  bool json = false;
};

/// A number in a range, or nothing where none was given.
Result<std::optional<double>> maybe_number(const char* option, const std::string& text, double least,
                                           double most, const char* wanted) {
  if (text.empty()) return std::optional<double>{};
  const Result<double> number = number_option(option, text, wanted);
  if (!number) return number.problem();
  if (*number < least || *number > most) return bad_option(option, text, wanted);
  return std::optional(*number);
}

Result<ArrayQuestion> question_of(const ArraysOptions& options) {
  ArrayQuestion question;
  question.type = options.type;
  const auto fibres = maybe_number("--fibres", options.fibres, 1, 144, "fibres in use: 8, 12, 16 or 24");
  if (!fibres) return fibres.problem();
  if (*fibres) question.fibres = static_cast<int>(**fibres);
  if (*fibres && **fibres != *question.fibres)
    return bad_option("--fibres", options.fibres, "a whole number");
  const auto limit = maybe_number("--limit", options.limit, 0, 100, "a limit in dB, such as 0.75");
  if (!limit) return limit.problem();
  if (*limit) question.loss_limit = Decibels{**limit};
  const auto skew = maybe_number("--skew-limit", options.skew_limit, 0, 1e6, "a limit in ns, such as 79");
  if (!skew) return skew.problem();
  question.skew_limit_ns = *skew;
  question.fibre = parse_fibre_category(options.fibre);
  if (!question.fibre && !options.fibre.empty())
    return bad_option("--fibre", options.fibre, "OM1 to OM5, OS1, OS1a or OS2");
  const auto nm = maybe_number("--wavelength", options.wavelength, 600, 1700, "nm, such as 850");
  if (!nm) return nm.problem();
  if (*nm) question.wavelength = Nanometres{**nm};
  return question;
}

std::string far_of(const MapJudgement& map, int near) {
  if (const auto place = map.found.find(near); place != map.found.end()) return std::to_string(place->second);
  const bool dark = std::find(map.dark.begin(), map.dark.end(), near) != map.dark.end();
  const bool missing = std::find(map.missing.begin(), map.missing.end(), near) != map.missing.end();
  return dark ? "-" : missing ? "?" : "";
}

std::string mark_of(const MapJudgement& map, int near) {
  const bool deviates = std::any_of(map.deviations.begin(), map.deviations.end(),
                                    [near](const Deviation& each) { return each.near == near; });
  return deviates ? "^" : "";
}

/// The map as two lines of positions, with marks below those that deviate; "-" is dark, "?" was not traced.
void print_picture(const MapJudgement& map) {
  for (int first = 1; first <= map.positions; first += positions_a_row) {
    std::string near;
    std::string far;
    std::string marks;
    for (int at = first; at < first + positions_a_row && at <= map.positions; ++at) {
      near += fmt::format("{:>4}", at);
      far += fmt::format("{:>4}", far_of(map, at));
      marks += fmt::format("{:>4}", mark_of(map, at));
    }
    fmt::print("      near {}\n      far  {}\n", near, far);
    if (const std::size_t last = marks.find_last_of('^'); last != std::string::npos)
      fmt::print("           {}\n", marks.substr(0, last + 1));
  }
}

std::string numbers_of(const JudgedArray& array) {
  std::string text = fmt::format("{} fibres", array.map.fibres);
  if (array.wanted) text += ", wanted " + array.wanted->name;
  if (!array.map.recognised.empty())
    text += fmt::format(", found {}{}", array.map.recognised, array.map.complete ? "" : " in part");
  return text;
}

void print_sources(const JudgedArray& array) {
  if (array.wanted)
    for (const RuleRef& source : array.wanted->sources) print_source("map", source);
  if (array.skew && array.skew->group_index)
    print_source(fmt::format("group index {:.4f}", array.skew->group_index->value),
                 array.skew->group_index->source);
}

void print_array(const JudgedArray& array, const ArraysOptions& options) {
  fmt::print("  {}  {}  {}\n", styled(array.outcome), array.name, numbers_of(array));
  fmt::print("      map {}\n", styled(array.map.outcome));
  if (array.map.outcome != Outcome::pass) print_reasons(array.map.reasons);
  const bool odd = !array.map.deviations.empty() || !array.map.dark.empty() || !array.map.missing.empty();
  if (odd && array.map.outcome != Outcome::invalid && !array.map.found.empty()) print_picture(array.map);
  if (array.loss) {
    fmt::print("      loss {}\n", styled(array.loss->outcome));
    print_reasons(words_on_losses(*array.loss));
    print_reasons(array.loss->reasons);
  }
  if (array.skew) {
    fmt::print("      skew {}", styled(array.skew->outcome));
    if (array.skew->skew)
      fmt::print("  {:.3f} ns between near {} and {} ({:.2f} m)", array.skew->skew->skew_ns,
                 array.skew->skew->first_position, array.skew->skew->last_position,
                 array.skew->skew->difference.value);
    fmt::print("\n");
    print_reasons(array.skew->reasons);
  }
  if (array.wanted && !array.wanted->cords.empty()) print_reasons({"Takes " + array.wanted->cords + "."});
  if (array.wanted && !array.wanted->not_known.empty()) print_reasons({array.wanted->not_known});
  if (options.sources) print_sources(array);
}

void print_statistics(const LaneStatistics& all) {
  if (all.arrays < 2) return;
  std::string text = fmt::format(
      "{} of {} lanes are within their limits ({:.2f} %) and {} of {} arrays wholly; {:.1f} would be if each "
      "lane failed by itself.",
      all.lanes_within, all.lanes,
      100.0 * static_cast<double>(all.lanes_within) / static_cast<double>(all.lanes), all.arrays_within,
      all.arrays, all.expected_arrays);
  if (static_cast<double>(all.arrays_within) >= all.expected_arrays + 1)
    text += " The failures sit together: look for a bad end face before bad lanes.";
  fmt::print("\n  {}\n", wrapped(text, 2));
}

int run_arrays(const ArraysOptions& options) {
  const Result<ArrayQuestion> question = question_of(options);
  if (!question) return refuse(question.problem());
  const Result<ArrayWork> work = check_arrays(options.files, *question);
  if (!work) return refuse(work.problem());
  if (options.json) {
    fmt::print("{}\n", arrays_json(work->check, work->left));
    return all_hold(*work) ? 0 : 1;
  }
  fmt::print("{}\n", heading("Arrays"));
  for (const JudgedArray& array : work->check.arrays) print_array(array, options);
  print_statistics(work->check.statistics);
  print_leftovers(work->left);
  print_cautions(work->cautions);
  return all_hold(*work) ? 0 : 1;
}

}  // namespace

void add_arrays_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<ArraysOptions>();
  CLI::App* command = app.add_subcommand("arrays", "Array trunks and cords: polarity, lane losses, skew");
  command->add_option("--found", options->files.found, "Traced positions: array, near, far")->required();
  command->add_option("--wanted", options->files.wanted, "What each array should be: array, type, fibres");
  command->add_option("--type", options->type,
                      "What every array should be, where --wanted does not say: A, B, C, \"method U1\", "
                      "\"adapter A + B + adapter A\"");
  command->add_option("--fibres,--fibers", options->fibres, "Fibres in use: 8, 12, 16 or 24");
  command->add_option("--loss", options->files.loss,
                      "Losses and lengths: array, position, loss, limit, length");
  command->add_option("--limit", options->limit, "Loss limit of every lane, dB, where --loss does not say");
  command->add_option("--skew-limit", options->skew_limit, "Most skew between lanes, ns");
  command->add_option("--fibre,--fiber", options->fibre, "Fibre, for the group index: OM4, OS2");
  command->add_option("--wavelength", options->wavelength, "Wavelength, nm, for the group index");
  command->add_flag("--sources", options->sources, "Print each number's source");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_arrays(*options); });
}

}  // namespace strandbook
