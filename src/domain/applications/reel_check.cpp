#include "domain/applications/reel_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

/// a ≤ b for per cents of decimal readings: 0.210 over 0.200 is exactly 5 %.
bool within_percent(double a, double b) { return std::llround(a * 1e6) <= std::llround(b * 1e6); }

ReelLine judged_line(ReelReading reading, double allowed) {
  ReelLine line{std::move(reading)};
  if (!line.reading.maker || !line.reading.site) return line;
  line.deviation_percent = (line.reading.site->value / line.reading.maker->value - 1) * 100;
  if (within_percent(std::abs(line.deviation_percent), allowed))
    line.word = ReelWord::agrees;
  else
    line.word = line.deviation_percent > 0 ? ReelWord::higher : ReelWord::lower;
  return line;
}

ReelJudgement& reel_named(std::vector<ReelJudgement>& reels, const std::string& name) {
  const auto found =
      std::find_if(reels.begin(), reels.end(), [&](const ReelJudgement& each) { return each.reel == name; });
  if (found != reels.end()) return *found;
  reels.emplace_back().reel = name;
  return reels.back();
}

void settle(ReelJudgement& reel, const std::vector<ReelLine>& lines) {
  const auto missing =
      static_cast<std::size_t>(std::count_if(reel.lines.begin(), reel.lines.end(), [&](std::uint32_t at) {
        return lines[at].word == ReelWord::incomplete;
      }));
  if (reel.report.empty() && missing == 0) {
    reel.status = ReelStatus::released;
    reel.words = fmt::format("Reel {} agrees with its maker's record: it may be laid.", reel.reel);
  } else if (!reel.approved_by.empty()) {
    reel.status = ReelStatus::approved;
    reel.words = fmt::format("Reel {} was approved by {}: keep the approval with the record.", reel.reel,
                             reel.approved_by);
  } else if (reel.report.empty()) {
    reel.words = fmt::format("Reel {} is on hold: {} values of the maker or the site are missing.", reel.reel,
                             missing);
  } else {
    reel.words = fmt::format(
        "Reel {} is on hold: report {} values to the owner in writing, and do not lay it before the owner "
        "approves.",
        reel.reel, reel.report.size());
  }
}

}  // namespace

std::string_view text_of(ReelWord word) {
  switch (word) {
    case ReelWord::agrees:
      return "agrees";
    case ReelWord::higher:
      return "higher than the record";
    case ReelWord::lower:
      return "lower than the record";
    case ReelWord::incomplete:
      return "a value is missing";
  }
  return {};
}

std::string_view text_of(ReelStatus status) {
  switch (status) {
    case ReelStatus::released:
      return "released";
    case ReelStatus::on_hold:
      return "on hold";
    case ReelStatus::approved:
      return "approved";
  }
  return {};
}

ReelsJudgement judge_reels(std::vector<ReelReading> readings, const Sourced<double>& allowed) {
  ReelsJudgement all;
  all.allowed_percent = allowed;
  for (ReelReading& reading : readings) {
    const auto index = static_cast<std::uint32_t>(all.lines.size());
    all.lines.push_back(judged_line(std::move(reading), allowed.value));
    const ReelLine& line = all.lines.back();
    ReelJudgement& reel = reel_named(all.reels, line.reading.reel);
    reel.lines.push_back(index);
    if (line.word == ReelWord::higher || line.word == ReelWord::lower) reel.report.push_back(index);
    if (!line.reading.approved_by.empty()) reel.approved_by = line.reading.approved_by;
  }
  for (ReelJudgement& reel : all.reels) settle(reel, all.lines);
  return all;
}

}  // namespace strandbook
