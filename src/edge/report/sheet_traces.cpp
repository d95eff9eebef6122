// Events of all traces, a row each.

#include <limits>

#include "edge/report/ledger_book.hpp"

namespace strandbook {
namespace {

void put_measured(LedgerSheet& sheet, const std::optional<Measured>& value) {
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  sheet.number(value ? value->value : none, CellLook::three_decimals);
  sheet.number(value ? value->standard_uncertainty : none, CellLook::three_decimals);
}

std::string file_of(const Assessment& all, std::uint32_t trace) {
  return trace == nothing ? std::string{} : all.traces[trace].at.file;
}

void put_event(LedgerSheet& sheet, const Assessment& all, const JudgedTraces& judged, std::size_t at) {
  const ScheduledStrand& strand = all.schedule[judged.strand];
  const TwoWayEvent& event = judged.seen.events[at];
  sheet.text(link_name(strand));
  sheet.text(strand.strand);
  sheet.number(judged.wavelength.value, CellLook::whole);
  sheet.number(event.position.value, CellLook::two_decimals);
  sheet.say(text_of(event.kind));
  put_measured(sheet, event.from_a);
  put_measured(sheet, event.from_b);
  put_measured(sheet, event.mean);
  const JudgedSplice* splice = at < judged.splices.size() ? &judged.splices[at] : nullptr;
  const bool limited = splice != nullptr && splice->limit;
  sheet.say(limited ? text_of(splice->verdict) : std::string_view{});
  sheet.number(limited ? splice->limit->limit.value.value : std::numeric_limits<double>::quiet_NaN(),
               CellLook::two_decimals);
  sheet.number(splice != nullptr ? splice->attempts : std::numeric_limits<double>::quiet_NaN(),
               CellLook::whole);
  sheet.say(event.explanation, CellLook::wrapped);
  sheet.text(file_of(all, judged.from_a));
  sheet.text(file_of(all, judged.from_b));
  sheet.next_row();
}

}  // namespace

void write_traces_sheet(LedgerBook& book, const ReportedJob& view) {
  if (view.job.traces.empty()) return;
  LedgerSheet sheet = book.add_sheet("Traces");
  worksheet_set_column(sheet.sheet(), 0, 13, 14, nullptr);
  worksheet_set_column(sheet.sheet(), 14, 16, 40, nullptr);
  sheet.headings({"link", "strand", "wavelength, nm", "m from A", "event", "A to B, dB", "u (k = 1)",
                  "B to A, dB", "u (k = 1)", "mean, dB", "u (k = 1)", "splice", "limit, dB", "attempt",
                  "explanation", "trace from A", "trace from B"});
  for (const JudgedTraces& judged : view.job.traces)
    for (std::size_t i = 0; i < judged.seen.events.size(); ++i) put_event(sheet, view.all, judged, i);
}

}  // namespace strandbook
