#include "edge/exchange/owner_profile_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>

#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/json_node_text.hpp"
#include "edge/exchange/profile_parts.hpp"
#include "edge/exchange/rule_file.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view shipped_prefix = "owner:";
constexpr std::string_view own_profile_prefix = "own-owner:";

bool well_formed_profile_id(std::string_view id) {
  const bool own = id.starts_with(own_profile_prefix);
  if (!own && !id.starts_with(shipped_prefix)) return false;
  return well_formed_name(id.substr(own ? own_profile_prefix.size() : shipped_prefix.size()), own);
}

void read_header(ObjectReader& object, OwnerProfile& profile) {
  RuleDesk& desk = object.desk();
  const JsonNode* id = object.wanted("id");
  profile.id = object.text_with_words("id");
  if (id != nullptr && !well_formed_profile_id(profile.id))
    desk.tell(id->line, fmt::format("the id \"{}\"", profile.id.substr(0, 80)),
              "own-owner: and a name of letters, digits, '-', '.' and '_'", "Such as own-owner:campus-2026.");
  desk.owner = profile.id.starts_with(own_profile_prefix) ? RuleOwner::own : RuleOwner::published;
  profile.title = object.text_with_words("title");
  profile.kind = object.text_with_words("kind");
  profile.document = object.text_with_words("document");
  profile.edition = object.maybe_text("edition");
  profile.note = object.maybe_text("note");
  desk.document = profile.document;
  desk.edition = profile.edition;
}

/// The rule inside the profile; what is wrong with it is told with its line in this file.
void read_own_rule(const JsonNode& node, const std::string& name, RuleDesk& desk, ProfileFile& file) {
  Result<RuleSet> rule = read_rule_tree(node, name);
  if (!rule) {
    const Problem& why = rule.problem();
    desk.tell(why.at.row, why.found, why.wanted, why.advice);
    return;
  }
  if (!rule->id.starts_with("own:"))
    desk.tell(node.line, fmt::format("\"own_rule\" with the id \"{}\"", rule->id),
              "an id that begins with own: ", "Name a published rule with \"rule\" instead.");
  file.own_rule_text = json_text_of(node) + "\n";
  file.profile.rule = rule->id;
  file.profile.own_rule = std::move(*rule);
}

void read_rule_of(ObjectReader& object, const std::string& name, ProfileFile& file) {
  const JsonNode* named = object.maybe("rule");
  const JsonNode* own = object.maybe("own_rule");
  if (named != nullptr && own != nullptr)
    object.desk().tell(named->line, "both \"rule\" and \"own_rule\"", "one of them",
                       "Two rules leave the limit open: take one out.");
  if (named != nullptr) file.profile.rule = object.text_with_words("rule");
  if (own != nullptr) read_own_rule(*own, name, object.desk(), file);
}

std::optional<Problem> misplaced(const fs::path& path, const OwnerProfile& profile) {
  if (profile.id == std::string(shipped_prefix) + path.stem().string()) return std::nullopt;
  return Problem{{path.string(), {}, 0, "id"},
                 "the id " + profile.id,
                 std::string(shipped_prefix) + path.stem().string() + ", as the file is called",
                 "Rename one of the two."};
}

}  // namespace

Result<ProfileFile> read_profile_text(std::string_view text, const std::string& name) {
  if (text.size() > largest_rule_file)
    return Problem{{name, {}, 0, {}},
                   fmt::format("{} bytes", text.size()),
                   "an owner's profile",
                   "Profiles are far smaller."};
  const Result<JsonNode> tree = parse_json(text, name);
  if (!tree) return tree.problem();
  RuleDesk desk(name);
  ObjectReader object(*tree, desk);
  ProfileFile file{{}, std::string(text), {}};
  read_header(object, file.profile);
  read_rule_of(object, name, file);
  read_testing(object, file.profile);
  read_plant_and_traces(object, file.profile);
  read_handing_over(object, file.profile);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return file;
}

Result<ProfileFile> read_profile_file(const std::string& path) {
  const Result<std::string> text = read_file_bytes(path);
  if (!text) return text.problem();
  return read_profile_text(*text, path);
}

Result<std::vector<ProfileFile>> read_profiles(const std::string& folder) {
  std::error_code error;
  std::vector<fs::path> paths;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
    if (at->path().extension() == ".json") paths.push_back(at->path());
  if (error)
    return Problem{{folder, {}, 0, {}},
                   "a folder that cannot be read: " + error.message(),
                   "owners' profiles",
                   "Check its path."};
  std::sort(paths.begin(), paths.end());
  std::vector<ProfileFile> profiles;
  for (const fs::path& path : paths) {
    Result<ProfileFile> file = read_profile_file(path.string());
    if (!file) return file.problem();
    if (auto problem = misplaced(path, file->profile)) return *problem;
    profiles.push_back(std::move(*file));
  }
  return profiles;
}

}  // namespace strandbook
