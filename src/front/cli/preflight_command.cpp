// Before the job leaves the site: what its owner would send back.

#include <fmt/format.h>

#include "domain/plan/strand_index.hpp"
#include "edge/exchange/output_file.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/moment.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/check_handover.hpp"

namespace strandbook {
namespace {

struct PreflightOptions {
  JobOptions job;
  std::string json;
  std::string today;
};

constexpr std::size_t most_named = 6;

std::string names_of(const Schedule& schedule, const std::vector<std::uint32_t>& strands) {
  std::string names;
  for (std::size_t i = 0; i < std::min(most_named, strands.size()); ++i)
    names += (i == 0 ? "" : ", ") + name_of(schedule[strands[i]]);
  if (strands.size() > most_named) names += fmt::format(" and {} more", strands.size() - most_named);
  return names;
}

const char* title_of(Objection objection) {
  switch (objection) {
    case Objection::refused:
      return "Would be refused";
    case Objection::missing:
      return "Missing";
    case Objection::by_hand:
      return "For a person to see to";
  }
  return "";
}

void print_item(const Schedule& schedule, const PreflightItem& item) {
  fmt::print("  - {}\n", wrapped(item.what, 4));
  if (!item.strands.empty()) fmt::print("    {}\n", wrapped(names_of(schedule, item.strands), 4));
  if (!item.step.empty()) fmt::print("    → {}\n", wrapped(item.step, 6));
  if (!item.demand.empty()) fmt::print("    ({})\n", wrapped(item.demand, 5));
}

void print_items(const HandoverGround& ground, const std::vector<PreflightItem>& items) {
  if (ground.profile)
    fmt::print("Held against: {}\n", wrapped(ground.profile->title, 14));
  else
    fmt::print("No owner's profile: only what every owner expects is looked at.\n");
  std::optional<Objection> under;
  for (const PreflightItem& item : items) {
    if (under != item.objection) fmt::print("\n{}\n", heading(title_of(item.objection)));
    under = item.objection;
    print_item(ground.work.job.assessment.schedule, item);
  }
  fmt::print("\n{}\n",
             may_leave(items) ? "The job may leave the site." : "The job is not ready to leave the site.");
}

int run_preflight(const PreflightOptions& options) {
  const Result<JobSettings> settings = job_settings(options.job);
  if (!settings) return refuse(settings.problem());
  const Result<Instant> today = moment_given("--today", options.today);
  if (!today) return refuse(today.problem());
  const Result<OpenBook> book = open_to_read(options.job.book);
  if (!book) return refuse(book.problem());
  const Result<HandoverGround> ground = handover_ground(*book, *settings, *today);
  if (!ground) return refuse(ground.problem());
  const std::vector<PreflightItem> items = preflight(*ground);
  if (!options.json.empty()) {
    const Result<Done> written = write_file(options.json, preflight_json(*ground, items) + "\n");
    if (!written) return refuse(written.problem());
  }
  if (options.json != "-") print_items(*ground, items);
  return may_leave(items) ? 0 : 1;
}

}  // namespace

void add_preflight_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<PreflightOptions>();
  CLI::App* command =
      app.add_subcommand("preflight", "What the owner would send back, and the step that mends it");
  command->add_option("--book", options->job.book, "The job's book")->required();
  add_rule_options(*command, options->job);
  command->add_option("--json", options->json, "Also as JSON into this file; - for standard output alone");
  command->add_option("--today", options->today, "For deadlines: seconds since 1970 UTC; the default is now");
  command->callback([options, &status] { status.value = run_preflight(*options); });
}

}  // namespace strandbook
