#include "workflow/know_profiles.hpp"

#include <algorithm>
#include <filesystem>

namespace strandbook {
namespace {

constexpr std::string_view shipped_prefix = "owner:";

Problem unknown(const std::string& named, const std::vector<ProfileFile>& shipped) {
  std::string known;
  for (const ProfileFile& file : shipped) known += (known.empty() ? "" : ", ") + file.profile.id;
  return {{"--profile", {}, 0, {}},
          "profile \"" + named + "\"",
          "one of " + known + ", or a file",
          "strandbook profiles says what each is."};
}

}  // namespace

Result<std::vector<ProfileFile>> know_profiles() {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  return read_profiles(*folder + "/profiles");
}

Result<ProfileFile> shipped_profile(const std::string& named) {
  Result<std::vector<ProfileFile>> shipped = know_profiles();
  if (!shipped) return shipped.problem();
  const std::string id = named.starts_with(shipped_prefix) ? named : std::string(shipped_prefix) + named;
  const auto at = std::find_if(shipped->begin(), shipped->end(),
                               [&](const ProfileFile& file) { return file.profile.id == id; });
  if (at == shipped->end()) return unknown(named, *shipped);
  return std::move(*at);
}

Result<ProfileFile> profile_named(const std::string& named) {
  std::error_code error;
  if (std::filesystem::exists(named, error)) return read_profile_file(named);
  return shipped_profile(named);
}

JobSettings with_demands(JobSettings given, const ProfileFile& file) {
  given.profile = file.profile.id;
  given.profile_text = file.text;
  given.demands = file.profile.demands;
  given.decision = decision_of(file.profile);
  given.traces = {file.profile.otdr, file.profile.splices};
  return given;
}

JobSettings settings_from(const ProfileFile& file) { return under_profile({}, file); }

JobSettings under_profile(JobSettings given, const ProfileFile& file) {
  const OwnerProfile& owner = file.profile;
  if (given.rule.empty()) given.rule = owner.rule;
  if (given.rule == owner.rule && !file.own_rule_text.empty())
    given.own_rule_texts.push_back(file.own_rule_text);
  if (!given.guard && owner.decision) given.guard = owner.decision->guard;
  return with_demands(std::move(given), file);
}

}  // namespace strandbook
