#include "workflow/check_reels.hpp"

#include <algorithm>

#include "edge/exchange/check_json.hpp"
#include "edge/exchange/reel_table.hpp"
#include "workflow/know_profiles.hpp"

namespace strandbook {
namespace {

Result<Sourced<double>> allowed_for(const ReelWish& wish) {
  if (wish.allowed_percent)
    return Sourced<double>{*wish.allowed_percent,
                           {wish.source.empty() ? "job" : wish.source, "", "", Standing::own, ""}};
  if (wish.profile.empty())
    return Problem{{"--allowed", {}, 0, {}},
                   "no deviation that the owner allows",
                   "--profile with the owner's profile, or --allowed with percent of the maker's value",
                   "The contract says it; 5 % is usual."};
  Result<ProfileFile> profile = profile_named(wish.profile);
  if (!profile) return profile.problem();
  if (!profile->profile.reel_deviation_most)
    return Problem{{wish.profile, {}, 0, {}},
                   "a profile that demands nothing of reels",
                   "\"reel_deviation_most\" in it, or --allowed",
                   "Ask the owner what is allowed."};
  return *profile->profile.reel_deviation_most;
}

void append_reel_line(std::string& out, const ReelLine& line) {
  JsonMembers members(out);
  members.text("strand", line.reading.strand);
  members.number("wavelength_nm", line.reading.wavelength.value);
  members.quantity("maker_db_per_km", line.reading.maker);
  members.quantity("site_db_per_km", line.reading.site);
  if (line.word == ReelWord::incomplete)
    members.raw("deviation_percent", "null");
  else
    members.number("deviation_percent", line.deviation_percent);
  members.text("word", text_of(line.word));
  members.truth("report", line.word == ReelWord::higher || line.word == ReelWord::lower);
  members.end();
}

}  // namespace

Result<ReelWork> check_reels(const std::string& path, const ReelWish& wish) {
  const Result<Sourced<double>> allowed = allowed_for(wish);
  if (!allowed) return allowed.problem();
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  Result<ReadRows<ReelReading>> read = read_reels(*sheets);
  if (!read) return read.problem();
  ReelWork work;
  work.judged = judge_reels(std::move(read->rows), *allowed);
  work.left = {std::move(read->unread), std::move(read->notes)};
  return work;
}

bool all_hold(const ReelWork& work) {
  return work.left.unread.empty() &&
         std::none_of(work.judged.reels.begin(), work.judged.reels.end(),
                      [](const ReelJudgement& reel) { return reel.status == ReelStatus::on_hold; });
}

std::string reels_json(const ReelWork& work) {
  std::string out;
  const ReelsJudgement& all = work.judged;
  JsonMembers members(out);
  members.number("format", 1);
  members.number("allowed_percent", all.allowed_percent.value);
  members.name("source");
  append_source(out, all.allowed_percent.source);
  members.name("reels");
  append_json_list(out, all.reels, [&](const ReelJudgement& reel) {
    JsonMembers each(out);
    each.text("reel", reel.reel);
    each.text("status", text_of(reel.status));
    each.text("words", reel.words);
    each.maybe_text("approved_by", reel.approved_by);
    each.name("lines");
    append_json_list(out, reel.lines, [&](std::uint32_t at) { append_reel_line(out, all.lines[at]); });
    each.end();
  });
  finish_check(out, members, work.left);
  return out;
}

}  // namespace strandbook
