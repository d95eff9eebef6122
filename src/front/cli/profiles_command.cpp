#include <fmt/format.h>

#include "edge/exchange/json_members.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/know_profiles.hpp"
#include "workflow/profile_view.hpp"

namespace strandbook {
namespace {

void print_row(const RuleRow& row) {
  constexpr std::size_t column = 52;
  const bool words_only = row.value.empty() && row.unit.empty();
  const bool own_line = words_only || row.what.size() > column;
  if (own_line) fmt::print("  {}\n", wrapped(row.what, 4));
  if (!words_only) fmt::print("  {:<52} {:>12} {}\n", own_line ? "" : row.what, row.value, row.unit);
}

/// Rows that come from one place stand together, with the place behind them.
void print_profile_section(const RuleSection& section) {
  fmt::print("\n{}\n", heading(section.title));
  for (std::size_t i = 0; i < section.rows.size(); ++i) {
    print_row(section.rows[i]);
    const RuleRef& source = section.rows[i].source;
    if (i + 1 < section.rows.size() && section.rows[i + 1].source == source) continue;
    fmt::print("      {}\n", wrapped(describe(source), 6));
    if (!source.note.empty()) fmt::print("      {}\n", wrapped(source.note, 6));
  }
}

int list_profiles(bool as_json) {
  const Result<std::vector<ProfileFile>> known = know_profiles();
  if (!known) return refuse(known.problem());
  if (!as_json) {
    for (const ProfileFile& file : *known)
      fmt::print("{:<34} {}\n", file.profile.id, wrapped(file.profile.title, 35));
    fmt::print("\n{}\n", wrapped("strandbook profiles ID prints every demand of one with its source.", 0));
    return 0;
  }
  std::string out;
  append_json_list(out, *known, [&](const ProfileFile& file) { out += profile_line_json(file.profile); });
  fmt::print("{}\n", out);
  return 0;
}

void print_profile(const OwnerProfile& profile) {
  fmt::print("{}\n{}, {}\n", heading(profile.title), profile.id, profile.kind);
  fmt::print("Rule: {}\n", profile.rule.empty() ? "none named; give one with --rule" : profile.rule);
  if (!profile.note.empty()) fmt::print("{}\n", wrapped(profile.note, 0));
  for (const RuleSection& section : sections_of(profile)) print_profile_section(section);
}

int show_profile(const std::string& named, bool as_json) {
  const Result<ProfileFile> file = profile_named(named);
  if (!file) return refuse(file.problem());
  if (as_json)
    fmt::print("{}\n", profile_json(file->profile));
  else
    print_profile(file->profile);
  return 0;
}

}  // namespace

void add_profiles_command(CLI::App& app, ExitStatus& status) {
  auto named = std::make_shared<std::string>();
  auto as_json = std::make_shared<bool>(false);
  CLI::App* command = app.add_subcommand("profiles", "Owners' profiles: every demand with its source");
  command->add_option("profile", *named, "Id of a profile, or a profile file of your own");
  command->add_flag("--json", *as_json, "Print JSON");
  command->callback([named, as_json, &status] {
    status.value = named->empty() ? list_profiles(*as_json) : show_profile(*named, *as_json);
  });
}

}  // namespace strandbook
