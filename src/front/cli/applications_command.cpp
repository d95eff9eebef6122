#include <fmt/format.h>

#include "edge/exchange/carry_json.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/know_applications.hpp"

namespace strandbook {
namespace {

struct ApplicationsOptions {
  std::string name;
  bool json = false;
};

std::string maybe(const std::optional<Sourced<Metres>>& number) {
  return number ? fmt::format("{:g} m", number->value.value) : "–";
}
std::string maybe(const std::optional<Sourced<Decibels>>& number) {
  return number ? fmt::format("{:g} dB", number->value.value) : "–";
}

void print_row(const Application& row) {
  const bool memory = row.source.standing == Standing::from_memory;
  fmt::print("  {:<24} {:<32} {:>8} {:>8}  {}{}\n", row.name, row.fibre, maybe(row.max_length),
             maybe(row.max_loss), row.table, memory ? "  (from memory)" : "");
}

void print_whole(const Application& row) {
  fmt::print("{}  {} over {}\n", heading(row.name), row.table, row.fibre);
  std::string wavelengths;
  for (const Nanometres at : row.wavelengths)
    wavelengths += (wavelengths.empty() ? "" : "/") + fmt::format("{:g}", at.value);
  fmt::print("    {} nm; {} lane{} on {} strand{}; {}\n", wavelengths, row.lanes, row.lanes == 1 ? "" : "s",
             row.strands, row.strands == 1 ? "" : "s", row.connector);
  if (!row.needs.empty()) fmt::print("    {}\n", wrapped("Needs " + row.needs + ".", 4));
  for (const NamedNumber& number : numbers_of(row))
    fmt::print("    {:<38} {:>8g} {:<6} {}\n", number.what, number.value, number.unit,
               wrapped(describe(*number.source), 60));
  for (const std::string& note : row.notes) fmt::print("    {}\n", wrapped("Note: " + note, 4));
  fmt::print("\n");
}

int run_applications(const ApplicationsOptions& options) {
  const auto known = know_applications();
  if (!known) return refuse(known.problem());
  const ApplicationTable& rows = (*known)->rows();
  std::vector<std::string> names;
  if (!options.name.empty()) {
    const Result<std::vector<std::string>> found = applications_named(rows, options.name);
    if (!found) return refuse(found.problem());
    names = *found;
  }
  const auto shown = [&](const Application& row) {
    return names.empty() || std::find(names.begin(), names.end(), row.name) != names.end();
  };
  if (options.json) {
    std::string out;
    std::vector<const Application*> list;
    for (const Application& row : rows)
      if (shown(row)) list.push_back(&row);
    append_json_list(out, list, [&](const Application* row) { out += application_json(*row); });
    fmt::print("{}\n", out);
    return 0;
  }
  for (const Application& row : rows) {
    if (!shown(row)) continue;
    if (names.size() == 1)
      print_whole(row);
    else
      print_row(row);
  }
  if (names.size() != 1)
    fmt::print("\n{}\n",
               wrapped("strandbook applications NAME prints every number of one with its source.", 0));
  return 0;
}

}  // namespace

void add_applications_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<ApplicationsOptions>();
  CLI::App* command =
      app.add_subcommand("applications", "Network applications: reach, loss and power, each with its source");
  command->add_option("name", options->name, "Name of an application or a part of it, such as 10GBASE-SR");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_applications(*options); });
}

}  // namespace strandbook
