#include <fmt/format.h>

#include "edge/exchange/rule_file.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"

namespace strandbook {
namespace {

void print_row(const std::string& what, const std::string& value, const RuleRef& source) {
  fmt::print("  {:<44} {:>12}  {}\n", what, value, text_of(source.standing));
  if (!source.note.empty()) fmt::print("      {}\n", wrapped(source.note, 6));
}

std::string decibels(Decibels value) { return fmt::format("{:.2f} dB", value.value); }

void print_attenuation(const RuleSet& rule) {
  for (const AttenuationRow& row : rule.attenuation)
    print_row(fmt::format("{} {} at {} nm", text_of(row.fibre), text_of(row.plant), row.wavelength.value),
              fmt::format("{:.2f} dB/km", row.value.value), row.source);
}

void print_joints(const RuleSet& rule) {
  for (const ConnectionRow& row : rule.connections)
    print_row(fmt::format("{} connection, {}{}", row.place == ConnectionPlace::end ? "end" : "embedded",
                          text_of(row.mode), row.cords ? fmt::format(", {} cords", text_of(*row.cords)) : ""),
              decibels(row.value), row.source);
  for (const SpliceRow& row : rule.splices)
    print_row(fmt::format("splice, {}", text_of(row.mode)), decibels(row.value), row.source);
  for (const ReferenceJoinRow& row : rule.reference_joins)
    print_row(fmt::format("join inside the reference, {}{}", text_of(row.mode),
                          row.cords ? fmt::format(", {} cords", text_of(*row.cords)) : ""),
              decibels(row.value), row.source);
  for (const FixedTermRow& row : rule.fixed_terms) print_row(row.name, decibels(row.value), row.source);
  for (const auto& row : rule.whole_link_limits)
    print_row(
        row.wavelength.value > 0 ? fmt::format("whole link at {} nm", row.wavelength.value) : "whole link",
        decibels(row.value), row.source);
}

void print_demands(const RuleSet& rule) {
  for (const DemandRow& row : rule.demands) {
    std::string list;
    for (const Nanometres each : row.wavelengths)
      list += fmt::format("{}{}", list.empty() ? "" : " ", each.value);
    print_row(fmt::format("to be tested, {}: {} nm, {} direction{}", text_of(row.mode), list,
                          text_of(row.directions), row.directions == DirectionDemand::both ? "s" : ""),
              "", row.source);
  }
  for (const LengthCeilingRow& row : rule.length_ceilings)
    print_row(fmt::format("longest, {}", text_of(row.mode)), fmt::format("{} m", row.value.value),
              row.source);
}

int list_rules(const std::vector<std::string>& own) {
  const Result<KnownRules> known = know_rules({own, {}}, {});
  if (!known) return refuse(known.problem());
  for (const RuleSet& rule : *known->rulebook) fmt::print("{:<20} {}\n", rule.id, wrapped(rule.title, 21));
  return 0;
}

int show_rule(const std::string& id, const std::vector<std::string>& own) {
  const Result<KnownRules> known = know_rules({own, {}}, {});
  if (!known) return refuse(known.problem());
  const Result<const RuleSet*> rule = rule_by_id(*known->rulebook, id);
  if (!rule) return refuse(rule.problem());
  fmt::print("{}\n{}:{}\n", heading((*rule)->title), (*rule)->document, (*rule)->edition);
  if (!(*rule)->note.empty()) fmt::print("{}\n", wrapped((*rule)->note, 0));
  fmt::print("\n");
  print_attenuation(**rule);
  print_joints(**rule);
  print_demands(**rule);
  return 0;
}

int check_rule(const std::string& path) {
  const Result<RuleSet> rule = read_rule_file(path);
  if (!rule) return refuse(rule.problem());
  fmt::print("{}: {} is in order.\n", path, rule->id);
  return 0;
}

}  // namespace

void add_rules_command(CLI::App& app, ExitStatus& status) {
  auto own = std::make_shared<std::vector<std::string>>();
  auto name = std::make_shared<std::string>();
  CLI::App* command = app.add_subcommand("rules", "Rule sets: every number with its source");
  command->require_subcommand(1);
  CLI::App* list = command->add_subcommand("list", "The rule sets there are");
  CLI::App* show = command->add_subcommand("show", "Every number of a rule set");
  CLI::App* check = command->add_subcommand("check", "Read a rule file and say what is wrong with it");
  for (CLI::App* each : {list, show}) each->add_option("--rule-file", *own, "A rule file of your own");
  show->add_option("rule", *name, "Id of the rule set")->required();
  check->add_option("file", *name, "The rule file")->required();
  list->callback([own, &status] { status.value = list_rules(*own); });
  show->callback([own, name, &status] { status.value = show_rule(*name, *own); });
  check->callback([name, &status] { status.value = check_rule(*name); });
}

}  // namespace strandbook
