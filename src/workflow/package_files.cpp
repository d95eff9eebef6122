#include "workflow/package_files.hpp"

#include <algorithm>
#include <filesystem>

#include "edge/exchange/file_bytes.hpp"
#include "workflow/know_profiles.hpp"

namespace strandbook {

std::string safe_name(const std::string& name) {
  std::string safe;
  for (const char c : name) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '.' || c == '-' || c == '_';
    safe += plain ? c : '_';
  }
  constexpr std::size_t most = 100;
  if (safe.size() > most) safe = safe.substr(safe.size() - most);  // the ending stays
  return safe.find_first_not_of('.') == std::string::npos ? "file" : safe;
}

Result<std::vector<RuleText>> rule_texts_of(const HandoverGround& ground) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  std::vector<RuleText> texts;
  for (const char* practice : {"uncertainty", "diagnosis"}) {
    Result<std::string> text = read_file_bytes(*folder + "/practice/" + practice + ".json");
    if (!text) return text.problem();
    texts.push_back({practice, std::move(*text)});
  }
  for (const RuleSet* rule : ground.work.job.assessment.rules) {
    const std::string path = *folder + "/" + rule->id + "/cabling.json";
    std::error_code error;
    if (!std::filesystem::is_regular_file(path, error)) {  // the job's own, or that of the profile below
      const auto& choices = ground.state.rule_choices;
      if (!choices.empty() && !choices.back().value.own_rule_text.empty())
        texts.push_back({rule->id, choices.back().value.own_rule_text});
      continue;
    }
    Result<std::string> text = read_file_bytes(path);
    if (!text) return text.problem();
    texts.push_back({rule->id, std::move(*text)});
  }
  if (ground.state.rule_choices.empty()) return texts;
  const RuleChoice& choice = ground.state.rule_choices.back().value;
  if (!choice.profile_text.empty())
    texts.push_back({ground.profile ? ground.profile->id : "owner-profile", choice.profile_text});
  return texts;
}

}  // namespace strandbook
