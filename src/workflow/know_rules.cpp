#include "workflow/know_rules.hpp"

#include <cstdlib>
#include <filesystem>

#include "edge/exchange/rule_file.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

bool holds_rules(const fs::path& folder) {
  std::error_code error;
  return fs::exists(folder / "practice" / "acceptance.json", error);
}

Result<Done> add_own(Rulebook& rulebook, Result<RuleSet> own, const std::string& name) {
  if (!own) return own.problem();
  if (find_rule(rulebook, own->id) != nullptr)
    return Problem{{name, {}, 0, "id"}, "rule " + own->id + " again", "an id of its own", "Change the id."};
  rulebook.push_back(std::move(*own));
  return Done{};
}

}  // namespace

Result<std::string> find_rules_folder() {
  if (const char* named = std::getenv("STRANDBOOK_RULES")) return std::string{named};
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  for (fs::path folder = program.parent_path(); !folder.empty(); folder = folder.parent_path()) {
    if (holds_rules(folder / "rules")) return (folder / "rules").string();
    if (holds_rules(folder / "share" / "strandbook" / "rules"))
      return (folder / "share/strandbook/rules").string();
    if (folder == folder.root_path()) break;
  }
  return Problem{{program.string(), {}, 0, {}},
                 "no rules folder near the program",
                 "the folder rules/ that comes with it",
                 "Set STRANDBOOK_RULES to that folder."};
}

Result<KnownRules> know_rules(const OwnRules& own_rules, const std::string& uncertainty_file) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  Result<Rulebook> rulebook = read_rulebook(*folder);
  if (!rulebook) return rulebook.problem();
  for (const std::string& path : own_rules.files)
    if (const Result<Done> done = add_own(*rulebook, read_rule_file(path), path); !done)
      return done.problem();
  for (const std::string& text : own_rules.texts)
    if (const Result<Done> done =
            add_own(*rulebook, read_rule_text(text, "rule in the book"), "rule in the book");
        !done)
      return done.problem();
  Result<Practice> practice = read_practice(*folder + "/practice");
  if (!practice) return practice.problem();
  KnownRules known{std::make_shared<const Rulebook>(std::move(*rulebook)), std::move(*practice)};
  if (uncertainty_file.empty()) return known;
  Result<UncertaintyModel> own = read_uncertainty_file(uncertainty_file);
  if (!own) return own.problem();
  known.practice.uncertainty = std::move(*own);
  return known;
}

Result<const RuleSet*> rule_by_id(const Rulebook& rulebook, const std::string& id) {
  if (const RuleSet* rule = find_rule(rulebook, id)) return rule;
  std::string known;
  for (const RuleSet& rule : rulebook) known += (known.empty() ? "" : ", ") + rule.id;
  return Problem{{"--rule", {}, 0, {}},
                 id.empty() ? "no rule" : "rule \"" + id + "\"",
                 "one of " + known,
                 "Name one of these, or bring a rule of your own with --rule-file."};
}

}  // namespace strandbook
