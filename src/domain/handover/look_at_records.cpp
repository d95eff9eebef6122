// The owner's list of fields, and the calibration of instruments on the day of each test.

#include <fmt/format.h>

#include <algorithm>

#include "domain/diagnosis/instrument_use.hpp"
#include "domain/handover/preflight_parts.hpp"
#include "domain/handover/recorded.hpp"

namespace strandbook {
namespace {

constexpr std::int64_t day_s = 86400;
/// A month of the calendar is never longer.
constexpr std::int64_t month_days = 31;

const char* step_for(FieldHome home) {
  switch (home) {
    case FieldHome::schedule:
      return "Add the column to the cable schedule and bring it in again.";
    case FieldHome::readings:
      return "Correct the readings or their references, or state it for the whole job.";
    case FieldHome::records:
      return "Bring in the certificates of the instruments, or where light came out.";
    default:
      return "State it for the whole job, or enclose a document.";
  }
}

/// Whether every trace of the job states it. That each strand has one is a finding's matter.
bool traces_state(const std::vector<HeldTrace>& traces, RecordField field) {
  const auto states = [field](const HeldTrace& trace) {
    switch (field) {
      case RecordField::trace_index:
        return trace.index.value > 0;
      case RecordField::trace_pulse:
        return trace.pulse_ns > 0;
      case RecordField::trace_averages:
        return trace.averages > 0;
      case RecordField::launch_cord_lengths:
        return trace.launch && trace.receive;
      case RecordField::trace_plot:
      case RecordField::trace_events:
      case RecordField::splice_losses:
        return true;  // they are in the report
      default:
        return false;
    }
  };
  return !traces.empty() && std::all_of(traces.begin(), traces.end(), states);
}

void look_at_field(const PreflightDesk& desk, RecordField field, const RuleRef& source) {
  if (desk.pack.statements.contains(field) || traces_state(desk.job.assessment.traces, field)) return;
  const FieldHome home = home_of(field);
  if (home == FieldHome::statement) {
    desk.tell({"record",
               Objection::missing,
               fmt::format("The owner wants it recorded: {}", text_of(field)),
               step_for(home),
               describe(source),
               {},
               std::string(text_of(field))});
    return;
  }
  std::vector<std::uint32_t> strands = desk.strands_where(
      [&](const JudgedTest& test) { return test.reading != nothing && !recorded(desk.job, test, field); });
  if (strands.empty()) return;
  std::string what = fmt::format("Not recorded: {} ({})", text_of(field), desk.part_of_job(strands));
  // Where a file is the place for it, a statement for the whole job may stand in; for a certificate it may
  // not.
  std::string about(home == FieldHome::records ? std::string_view{} : text_of(field));
  desk.tell({"record", Objection::missing, std::move(what), step_for(home), describe(source),
             std::move(strands), std::move(about)});
}

/// Whether a certificate younger than so many months covers the day of the reading.
bool calibrated_lately(const Assessment& all, const JudgedTest& test, int months) {
  const Reading& reading = all.readings.rows[test.reading];
  if (!reading.has_time || !reading.time.dated) return false;
  const std::int64_t day = day_of(reading.time).seconds;
  const auto rows = certificates_of(all, meter_of(all, test));
  return std::any_of(rows.begin(), rows.end(), [&](const Calibration* row) {
    return row->from.seconds <= day && day - row->from.seconds <= months * month_days * day_s;
  });
}

}  // namespace

void look_at_records(const PreflightDesk& desk, const OwnerProfile& profile) {
  for (const auto& wanted : profile.records) look_at_field(desk, wanted.value, wanted.source);
  if (!profile.calibration_months_most) return;
  const Assessment& all = desk.job.assessment;
  const int months = profile.calibration_months_most->value;
  std::vector<std::uint32_t> strands = desk.strands_where([&](const JudgedTest& test) {
    return test.reading != nothing && !calibrated_lately(all, test, months);
  });
  if (strands.empty()) return;
  std::string what =
      fmt::format("No certificate shows that the meter was calibrated within {} months before: {}", months,
                  desk.part_of_job(strands));
  desk.tell(
      {"calibration", Objection::refused, std::move(what),
       "Bring in the certificates of the instruments; where there is none, read these strands again with a "
       "calibrated meter.",
       describe(profile.calibration_months_most->source), std::move(strands)});
}

}  // namespace strandbook
