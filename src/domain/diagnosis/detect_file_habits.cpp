// How a file writes its losses: all below zero, levels among losses, headroom in place of loss.

#include <fmt/format.h>

#include <algorithm>

#include "domain/diagnosis/job_detectors.hpp"

namespace strandbook {
namespace {

std::string name_of_file(const Assessment& all, std::uint32_t file) {
  return file < all.readings.files.size() ? all.readings.files[file].file : std::string{"readings"};
}

double least_loss(const Assessment& all, const std::vector<std::uint32_t>& tests) {
  double least = 0;
  for (const std::uint32_t i : tests) least = std::min(least, all.tests[i].loss.value);
  return least;
}

void tell_signs(const Assessment& all, const FileLosses& file, std::vector<std::uint32_t> tests,
                Suspects& out) {
  const bool whole_file = file.negative == file.losses && file.losses > 1;
  const bool levels =
      2 * file.far_negative > file.losses || (file.far_negative > 0 && file.far_negative == file.negative);
  const std::string name = name_of_file(all, file.file);
  Finding finding;
  finding.weight = whole_file || levels ? Weight::stop : Weight::look;
  finding.about = name;
  finding.evidence = {{"losses", static_cast<double>(file.losses)},
                      {"negative", static_cast<double>(file.negative)},
                      {"least_loss_db", least_loss(all, tests)}};
  if (levels) {
    finding.kind = "level-for-loss";
    finding.summary =
        fmt::format("{} of {} losses in {} are far below zero, as levels in dBm are: dB and dBm are mixed.",
                    file.far_negative, file.losses, name);
    finding.advice =
        "Bring these in as levels with their reference (--columns readings.power_dbm=...), or ask for the "
        "losses.";
  } else if (whole_file) {
    finding.kind = "loss-sign";
    finding.summary = fmt::format(
        "Every loss in {} is written negative: either the file writes change of level, or the reference was "
        "wrong. "
        "Nothing was turned.",
        name);
    finding.advice =
        "If the file writes change of level, confirm with --loss-sign change-of-level. If not, take a new "
        "reference and "
        "repeat.";
  } else {
    finding.kind = "gain";
    finding.summary = fmt::format("{} of {} losses in {} are gains, which a passive link cannot show.",
                                  tests.size(), file.losses, name);
    finding.advice = "Repeat these readings after a new reference; never use the number without its sign.";
  }
  finding.tests = std::move(tests);
  out.facts.push_back(std::move(finding));
}

void tell_headroom(const Assessment& all, const FileLosses& file, Suspects& out) {
  constexpr std::uint32_t least_readings = 8;
  constexpr double nearly_all = 0.9;
  const std::uint32_t asked = file.near_headroom + file.near_loss;
  if (file.near_headroom < least_readings || file.near_headroom < nearly_all * asked) return;
  Finding finding;
  finding.kind = "headroom";
  finding.weight = Weight::stop;
  finding.about = name_of_file(all, file.file);
  for (std::uint32_t i = 0; i < all.tests.size(); ++i) {
    const JudgedTest& test = all.tests[i];
    if (test.reading != nothing && test.has_loss && all.readings.rows[test.reading].file == file.file)
      finding.tests.push_back(i);
  }
  finding.summary = fmt::format(
      "The losses in {} look like headroom: {} of {} are nearer to limit less loss than to any loss their "
      "links can have.",
      finding.about, file.near_headroom, asked);
  finding.evidence = {{"like_headroom", static_cast<double>(file.near_headroom)},
                      {"like_loss", static_cast<double>(file.near_loss)}};
  finding.advice =
      "Ask what the column holds. A handover needs the measured loss, not what was left of the limit.";
  out.facts.push_back(std::move(finding));
}

}  // namespace

void detect_file_habits(const Assessment& all, const ByReason& by_reason,
                        const std::vector<FileLosses>& files, Suspects& out) {
  std::vector<std::vector<std::uint32_t>> impossible(files.size());
  for (const std::uint32_t i : by_reason[static_cast<std::size_t>(Reason::impossible_value)]) {
    const JudgedTest& test = all.tests[i];
    if (test.reading == nothing) continue;
    const Reading& reading = all.readings.rows[test.reading];
    if (reading.kind != ReadingKind::loss) continue;
    const auto file = std::find_if(files.begin(), files.end(),
                                   [&](const FileLosses& each) { return each.file == reading.file; });
    if (file != files.end()) impossible[static_cast<std::size_t>(file - files.begin())].push_back(i);
  }
  for (std::size_t i = 0; i < files.size(); ++i) {
    if (!impossible[i].empty()) tell_signs(all, files[i], std::move(impossible[i]), out);
    tell_headroom(all, files[i], out);
  }
}

}  // namespace strandbook
