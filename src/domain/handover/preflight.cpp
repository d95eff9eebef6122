#include "domain/handover/preflight.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "domain/handover/preflight_parts.hpp"

namespace strandbook {

std::string_view text_of(Objection objection) {
  switch (objection) {
    case Objection::refused:
      return "refused";
    case Objection::missing:
      return "missing";
    case Objection::by_hand:
      return "by hand";
  }
  return {};
}

std::string PreflightDesk::part_of_job(const std::vector<std::uint32_t>& strands) const {
  return fmt::format("{} of {} strands", strands.size(), job.assessment.schedule.size());
}

std::vector<PreflightItem> preflight(const JobToHandOver& job, const DecisionRule& decision,
                                     const OwnerProfile* profile, const PackRecord& pack) {
  std::vector<PreflightItem> items;
  const PreflightDesk desk{job, decision, pack, items};
  look_at_outcomes(desk);
  look_at_leftovers(desk);
  look_at_findings(desk);
  if (profile != nullptr) {
    look_at_tests(desk, *profile);
    look_at_records(desk, *profile);
    look_at_forms(desk, *profile);
    look_at_days(desk, *profile);
    look_at_words(desk, *profile);
  }
  std::stable_sort(items.begin(), items.end(),
                   [](const PreflightItem& a, const PreflightItem& b) { return a.objection < b.objection; });
  return items;
}

bool may_leave(const std::vector<PreflightItem>& items) {
  return std::all_of(items.begin(), items.end(),
                     [](const PreflightItem& item) { return item.objection == Objection::by_hand; });
}

}  // namespace strandbook
