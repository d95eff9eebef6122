#include <fmt/format.h>

#include "edge/exchange/rule_file.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/rule_view.hpp"

namespace strandbook {
namespace {

void print_rule_section(const RuleSection& section) {
  fmt::print("\n{}\n", heading(section.title));
  for (const RuleRow& row : section.rows) {
    fmt::print("  {:<48} {:>10} {:<5}  {}\n", row.what, row.value, row.unit, text_of(row.source.standing));
    if (!row.source.note.empty()) fmt::print("      {}\n", wrapped(row.source.note, 6));
  }
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
  for (const RuleSection& section : sections_of(**rule)) print_rule_section(section);
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
