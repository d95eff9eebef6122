// In which forms the owner takes it, and by when.

#include <fmt/format.h>

#include <algorithm>

#include "domain/handover/preflight_parts.hpp"

namespace strandbook {
namespace {

constexpr int saturday = 6;

/// 1 = Monday ... 7 = Sunday; 1970-01-01 was a Thursday.
int weekday_of(const Instant& day) {
  const std::int64_t days = day_of(day).seconds / 86400;
  return static_cast<int>(((days + 3) % 7 + 7) % 7) + 1;
}

/// The day that comes so many days later. Public holidays are not known: working days are Monday to Friday.
Instant later_by(const Instant& from, const DayLimit& limit) {
  if (limit.count == DayCount::calendar) return day_of(from, limit.days);
  Instant day = day_of(from);
  for (int left = limit.days; left > 0;) {
    day = day_of(day, 1);
    if (weekday_of(day) < saturday) --left;
  }
  return day;
}

std::optional<Instant> last_reading(const Assessment& all) {
  std::optional<Instant> last;
  for (const JudgedTest& test : all.tests) {
    if (test.reading == nothing) continue;
    const Reading& reading = all.readings.rows[test.reading];
    if (!reading.has_time || !reading.time.dated) continue;
    if (!last || last->seconds < reading.time.seconds) last = reading.time;
  }
  return last;
}

void look_at_originals(const PreflightDesk& desk, const RuleRef& source) {
  const std::vector<std::uint32_t>& typed = desk.pack.typed_strands;
  if (typed.empty() || desk.pack.documents.contains(HandoverForm::signed_sheet)) return;
  desk.tell({"form", Objection::missing,
             fmt::format("Typed, with no original record of an instrument: {}", desk.part_of_job(typed)),
             "Bring in the instrument's own file, or enclose a signed sheet.", describe(source), typed,
             std::string(text_of(HandoverForm::signed_sheet))});
}

void look_at_form(const PreflightDesk& desk, const HandoverDemand& demand) {
  const auto tell = [&](Objection objection, std::string step) {
    std::string what = demand.copies > 1 ? fmt::format("The owner wants {} in {} copies.",
                                                       text_of(demand.form), demand.copies)
                                         : fmt::format("The owner wants: {}", text_of(demand.form));
    desk.tell({"form",
               objection,
               std::move(what),
               std::move(step),
               describe(demand.source),
               {},
               std::string(text_of(demand.form))});
  };
  if (desk.pack.documents.contains(demand.form)) return;
  switch (demand.form) {
    case HandoverForm::original_records:
      return look_at_originals(desk, demand.source);
    case HandoverForm::spreadsheet:
    case HandoverForm::pdf_list:
    case HandoverForm::text_export:
      return;  // every package holds them
    case HandoverForm::paper:
      return tell(Objection::by_hand, "Print the report.");
    case HandoverForm::signed_sheet:
      return tell(Objection::by_hand,
                  "Print the certificates on letterhead, sign them and enclose the scan.");
    case HandoverForm::reading_program:
      return tell(Objection::by_hand, "The package opens in any browser; tell the owner so.");
    case HandoverForm::trace_files:
      if (!desk.job.assessment.traces.empty()) return;  // their files lie in the package as they came
      return tell(Objection::missing, "Bring the traces in, or enclose them.");
    case HandoverForm::calibration_certificate:
    case HandoverForm::test_procedure:
      return tell(Objection::missing, "Enclose it.");
  }
}

}  // namespace

void look_at_forms(const PreflightDesk& desk, const OwnerProfile& profile) {
  for (const HandoverDemand& demand : profile.handover) look_at_form(desk, demand);
  for (const auto& form : profile.refused_forms)
    desk.tell({"form",
               Objection::by_hand,
               fmt::format("The owner does not take: {}", text_of(form.value)),
               "Hand over the other forms of the package.",
               describe(form.source),
               {}});
}

void look_at_days(const PreflightDesk& desk, const OwnerProfile& profile) {
  if (profile.notice)
    desk.tell(
        {"deadline",
         Objection::by_hand,
         fmt::format("Notice before the test: {} {}", profile.notice->days, text_of(profile.notice->count)),
         "See that it was given.",
         describe(profile.notice->source),
         {}});
  if (profile.records_kept_years)
    desk.tell({"deadline",
               Objection::by_hand,
               fmt::format("Records are kept for {} years.", profile.records_kept_years->value),
               "Keep the package and a backup of the book as long.",
               describe(profile.records_kept_years->source),
               {}});
  const std::optional<Instant> last = last_reading(desk.job.assessment);
  if (!profile.results_within) return;
  if (!last) {
    desk.tell({"deadline",
               Objection::by_hand,
               fmt::format("Results are due {} {} after the last test; no reading bears a date.",
                           profile.results_within->days, text_of(profile.results_within->count)),
               "Know the day, and hand over in time.",
               describe(profile.results_within->source),
               {}});
    return;
  }
  const Instant due = later_by(*last, *profile.results_within);
  const bool late = desk.pack.today && day_of(*desk.pack.today).seconds > due.seconds;
  desk.tell({"deadline",
             late ? Objection::refused : Objection::by_hand,
             fmt::format("Results are due {} {} after the last test, on {}.", profile.results_within->days,
                         text_of(profile.results_within->count), iso_text(due)),
             late ? "Tell the owner of the delay before you hand over."
                  : "Hand over by then; public holidays are not counted here.",
             describe(profile.results_within->source),
             {}});
}

}  // namespace strandbook
