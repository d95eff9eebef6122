#include "workflow/check_handover.hpp"

#include <algorithm>
#include <set>
#include <span>

#include "domain/plan/strand_index.hpp"
#include "edge/exchange/json_members.hpp"
#include "workflow/know_profiles.hpp"
#include "workflow/see_finding.hpp"
#include "workflow/statements.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_named = 1000;

JobToHandOver job_of(const HandoverGround& ground) {
  const JudgedJob& job = ground.work.job;
  return {job.name, job.assessment, job.findings, job.unread_rows.size()};
}

Result<std::optional<OwnerProfile>> profile_of(const std::string& text) {
  if (text.empty()) return std::optional<OwnerProfile>{};
  Result<ProfileFile> file = read_profile_text(text, "profile in the book");
  if (!file) return file.problem();
  return std::optional(std::move(file->profile));
}

/// Strands whose counting reading was typed: no import of the book has its file's name.
std::vector<std::uint32_t> typed_strands(const Assessment& all,
                                         const std::vector<Held<ImportRecord>>& imports) {
  std::set<std::string_view> files;
  for (const auto& import : imports) files.insert(import.value.file);
  std::vector<bool> typed;
  typed.reserve(all.readings.files.size());
  for (const SourceFile& file : all.readings.files) typed.push_back(!files.contains(file.file));
  std::vector<std::uint32_t> strands;
  for (const JudgedTest& test : all.tests) {
    if (test.reading == nothing || (!strands.empty() && strands.back() == test.strand)) continue;
    const std::uint32_t file = all.readings.rows[test.reading].file;
    if (file >= typed.size() || typed[file]) strands.push_back(test.strand);
  }
  return strands;
}

void take_remarks(const Schedule& schedule, const std::vector<Held<Remark>>& remarks, PackRecord& pack) {
  const StrandIndex index(schedule);
  for (const auto& held : remarks) {
    if (const auto said = stated_by(held.value)) {
      pack.statements[said->field] = said->words;
    } else if (held.value.kind == FactKind::note && !held.value.about_strand.empty()) {
      const std::uint32_t strand = index.find(held.value.about_strand.link, held.value.about_strand.strand);
      if (strand != no_strand) pack.acted_on.insert(strand);
    }
  }
}

}  // namespace

PackRecord pack_of(const JobToHandOver& job, const std::vector<Held<Remark>>& remarks,
                   const std::vector<Held<ImportRecord>>& imports, const std::optional<Instant>& today) {
  PackRecord pack;
  pack.today = today;
  pack.typed_strands = typed_strands(job.assessment, imports);
  for (const auto& import : imports)
    if (const auto form = enclosed_as(import.value)) pack.documents.insert(*form);
  take_remarks(job.assessment.schedule, remarks, pack);
  for (const Finding& finding : job.findings)
    if (acknowledgement_of(remarks, key_of(finding))) pack.acknowledged.insert(finding.id);
  return pack;
}

Result<std::optional<OwnerProfile>> profile_in(const std::vector<Held<RuleChoice>>& choices) {
  return profile_of(choices.empty() ? std::string{} : choices.back().value.profile_text);
}

Result<HandoverGround> handover_ground(const OpenBook& book, const JobSettings& given,
                                       const std::optional<Instant>& today, const Progress& progress) {
  const Result<std::int64_t> version = book.store->outside_version();
  if (!version) return version.problem();
  Result<BookState> state = current_state(*book.store, progress);
  if (!state) return state.problem();
  Result<std::optional<OwnerProfile>> profile =
      given.profile_text.empty() ? profile_in(state->rule_choices) : profile_of(given.profile_text);
  if (!profile) return profile.problem();
  Result<JudgedWork> work = judge_state(*state, given);
  if (!work) return work.problem();
  work->files = [&store = *book.store](const std::string& kept) { return kept_file(store, kept); };
  HandoverGround ground{std::move(*work), std::move(*profile), {}, std::move(*state), *version};
  ground.pack = pack_of(job_of(ground), ground.state.remarks, ground.state.imports, today);
  return ground;
}

std::vector<PreflightItem> preflight(const HandoverGround& ground) {
  return preflight(job_of(ground), ground.work.decision, ground.profile ? &*ground.profile : nullptr,
                   ground.pack);
}

std::string preflight_json(const HandoverGround& ground, const std::vector<PreflightItem>& items) {
  return preflight_json(job_of(ground), ground.profile, items);
}

std::string preflight_json(const JobToHandOver& job, const std::optional<OwnerProfile>& profile,
                           const std::vector<PreflightItem>& items) {
  const Schedule& schedule = job.assessment.schedule;
  std::string out;
  JsonMembers members(out);
  members.count("format", 1);
  members.text("job", job.name);
  members.maybe_text("profile", profile ? profile->id : std::string{});
  members.maybe_text("profile_title", profile ? profile->title : std::string{});
  members.truth("may_leave", may_leave(items));
  members.name("items");
  append_json_list(out, items, [&](const PreflightItem& item) {
    JsonMembers each(out);
    each.text("kind", item.kind);
    each.text("objection", text_of(item.objection));
    each.maybe_text("about", item.about);
    each.text("what", item.what);
    each.maybe_text("step", item.step);
    each.maybe_text("demand", item.demand);
    each.name("strands");
    const std::span shown(item.strands.data(), std::min(most_named, item.strands.size()));
    append_json_list(out, shown, [&](std::uint32_t strand) {
      out += '[';
      append_json_text(out, link_name(schedule[strand]));
      out += ',';
      append_json_text(out, schedule[strand].strand);
      out += ']';
    });
    each.count("strands_total", item.strands.size());
    each.end();
  });
  members.end();
  return out;
}

}  // namespace strandbook
