#include "domain/applications/end_face.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "domain/verdict/assessment.hpp"

namespace strandbook {
namespace {

constexpr std::array all_zones = {EndFaceZone::core, EndFaceZone::cladding, EndFaceZone::adhesive,
                                  EndFaceZone::contact};

bool is_in(const SizeBand& band, Micrometres size) {
  return !band.upper || size < *band.upper || (band.with_upper && size == *band.upper);
}

std::size_t band_of(const std::vector<SizeBand>& bands, Micrometres size) {
  const auto at = std::find_if(bands.begin(), bands.end(), [&](const auto& b) { return is_in(b, size); });
  return static_cast<std::size_t>(at - bands.begin());
}

std::vector<ZoneCount> counts_against(const ZoneLimit& limit, const InspectedFace& face) {
  std::vector<ZoneCount> counts;
  for (std::size_t band = 0; band < limit.bands.size(); ++band) {
    ZoneCount count{limit.zone, limit.mark,  words_of_band(limit.bands, band), limit.bands[band].allowed, 0,
                    true,       limit.source};
    for (const SeenMark& seen : face.marks)
      if (seen.zone == limit.zone && seen.mark == limit.mark && band_of(limit.bands, seen.size) == band)
        count.found += seen.count;
    count.holds = !count.allowed || count.found <= *count.allowed;
    counts.push_back(std::move(count));
  }
  return counts;
}

void count_published(const InspectedFace& face, const EndFaceLimits& limits, FaceJudgement& judged) {
  for (const EndFaceZone zone : all_zones)
    for (const FaceMark mark : {FaceMark::scratch, FaceMark::defect})
      for (const ZoneLimit& limit : limits.limits)
        if (face.kind == limit.kind && limit.zone == zone && limit.mark == mark)
          for (ZoneCount& each : counts_against(limit, face)) judged.counts.push_back(std::move(each));
}

std::optional<Micrometres> own_limit_for(const SeenMark& seen, std::span<const OwnZoneLimit> own) {
  std::optional<Micrometres> least = seen.own_limit;
  for (const OwnZoneLimit& each : own)
    if (each.zone == seen.zone) least = least ? std::min(*least, each.most) : each.most;
  return least;
}

void count_own(const InspectedFace& face, std::span<const OwnZoneLimit> own, FaceJudgement& judged) {
  for (const SeenMark& seen : face.marks) {
    const std::optional<Micrometres> most = own_limit_for(seen, own);
    if (!most) continue;
    const bool over = seen.size > *most;
    judged.counts.push_back(
        {seen.zone, seen.mark,
         fmt::format("{:g} µm against the site's own {:g} µm", seen.size.value, most->value),
         over ? std::optional(0) : std::nullopt, seen.count, !over,
         RuleRef{"own limit of the site", "", "", Standing::own, ""}});
  }
}

bool lacks_limit(const InspectedFace& face, std::span<const OwnZoneLimit> own) {
  return !face.kind && std::any_of(face.marks.begin(), face.marks.end(), [&](const SeenMark& seen) {
    return !own_limit_for(seen, own).has_value();
  });
}

std::string plural(FaceMark mark, int count) {
  const std::string_view word = text_of(mark);
  return fmt::format("{}{}", word, count == 1 ? "" : mark == FaceMark::scratch ? "es" : "s");
}

std::string words_of(const ZoneCount& count) {
  if (count.source.standing == Standing::own)
    return fmt::format("Zone {} ({}): {} of {}.", text_of(count.zone), name_of(count.zone),
                       text_of(count.mark), count.band);
  return fmt::format("Zone {} ({}): {} {} {}, allowed {}.", text_of(count.zone), name_of(count.zone),
                     count.found, plural(count.mark, count.found), count.band,
                     *count.allowed == 0 ? "none" : std::to_string(*count.allowed));
}

void explain(const InspectedFace& face, FaceJudgement& judged) {
  for (const ZoneCount& each : judged.counts)
    if (!each.holds) judged.reasons.push_back(words_of(each));
  if (!judged.reasons.empty())
    judged.reasons.emplace_back(
        "Clean and inspect again, else re-polish or replace; do not mate it until then.");
  else if (judged.outcome == Outcome::pass)
    judged.reasons.emplace_back(face.marks.empty() ? "Nothing seen."
                                : face.kind        ? "All counts are within what is allowed."
                                                   : "Within the site's own limits; no others were asked.");
  judged.reasons.insert(judged.reasons.end(), face.unread.begin(), face.unread.end());
}

}  // namespace

std::string_view text_of(EndFaceKind kind) {
  switch (kind) {
    case EndFaceKind::multimode:
      return "multimode";
    case EndFaceKind::single_mode:
      return "single-mode";
    case EndFaceKind::single_mode_apc:
      return "single-mode-apc";
  }
  return {};
}

std::string_view text_of(EndFaceZone zone) {
  switch (zone) {
    case EndFaceZone::core:
      return "A";
    case EndFaceZone::cladding:
      return "B";
    case EndFaceZone::adhesive:
      return "C";
    case EndFaceZone::contact:
      return "D";
  }
  return {};
}

std::string_view name_of(EndFaceZone zone) {
  switch (zone) {
    case EndFaceZone::core:
      return "core";
    case EndFaceZone::cladding:
      return "cladding";
    case EndFaceZone::adhesive:
      return "adhesive";
    case EndFaceZone::contact:
      return "contact";
  }
  return {};
}

std::string_view text_of(FaceMark mark) { return mark == FaceMark::scratch ? "scratch" : "defect"; }

std::optional<EndFaceKind> parse_end_face_kind(std::string_view text) {
  for (const EndFaceKind kind :
       {EndFaceKind::multimode, EndFaceKind::single_mode, EndFaceKind::single_mode_apc})
    if (text_of(kind) == text) return kind;
  return std::nullopt;
}

std::string words_of_band(const std::vector<SizeBand>& bands, std::size_t band) {
  const SizeBand& here = bands[band];
  if (bands.size() == 1) return "of any size";
  if (band == 0) return fmt::format("{} {:g} µm", here.with_upper ? "up to" : "below", here.upper->value);
  const SizeBand& before = bands[band - 1];
  if (here.upper) return fmt::format("of {:g} to {:g} µm", before.upper->value, here.upper->value);
  return fmt::format("{} {:g} µm", before.with_upper ? "above" : "from", before.upper->value) +
         (before.with_upper ? "" : " up");
}

FaceJudgement judge_face(const InspectedFace& face, const EndFaceLimits& limits,
                         std::span<const OwnZoneLimit> own) {
  FaceJudgement judged;
  if (!face.inspected && face.marks.empty()) {
    judged.outcome = face.unread.empty() ? Outcome::not_tested : Outcome::invalid;
    judged.reasons = {"Not inspected."};
    judged.reasons.insert(judged.reasons.end(), face.unread.begin(), face.unread.end());
    return judged;
  }
  count_published(face, limits, judged);
  count_own(face, own, judged);
  const bool exceeded =
      std::any_of(judged.counts.begin(), judged.counts.end(), [](const ZoneCount& c) { return !c.holds; });
  const bool open = lacks_limit(face, own) || !face.unread.empty();
  judged.outcome = exceeded ? Outcome::fail : open ? Outcome::invalid : Outcome::pass;
  explain(face, judged);
  if (lacks_limit(face, own))
    judged.reasons.emplace_back(
        "The kind of end face is not known, so some marks have no limit: state multimode, single-mode or "
        "single-mode-apc.");
  return judged;
}

}  // namespace strandbook
