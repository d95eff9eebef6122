// Sources, rows kept but not used, findings.

#include <fmt/format.h>

#include <limits>

#include "edge/report/ledger_book.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/words.hpp"

namespace strandbook {
namespace {

void source_cells(LedgerSheet& sheet, const RuleRef& source) {
  sheet.say(source.document);
  sheet.text(source.edition);
  sheet.say(source.clause);
  sheet.say(text_of(source.standing));
  sheet.say(source.note, CellLook::wrapped);
  sheet.next_row();
}

void unread(LedgerSheet& sheet, const std::vector<Problem>& rows) {
  for (const Problem& row : rows) {
    sheet.say("not read");
    sheet.text(row.at.file);
    sheet.text(row.at.sheet);
    sheet.count(row.at.row);
    sheet.text(row.at.column);
    sheet.skip(4);
    sheet.text(sheet.words().cell(row.found), CellLook::wrapped);
    sheet.say(row.wanted, CellLook::wrapped);
    sheet.say(row.advice, CellLook::wrapped);
    sheet.next_row();
  }
}

std::string_view unit_of(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::power:
      return "dBm";
    case ReadingKind::loss:
      return "dB";
    case ReadingKind::no_light:
      return "no light";
  }
  return {};
}

void unmatched(LedgerSheet& sheet, const Assessment& all) {
  for (const UnmatchedReading& row : all.unmatched) {
    if (row.reading >= all.readings.rows.size()) continue;
    const Reading& reading = all.readings.rows[row.reading];
    const Place place = all.readings.place_of(reading);
    sheet.say("belongs to no planned test");
    sheet.text(place.file);
    sheet.text(place.sheet);
    sheet.count(place.row);
    sheet.text(place.column);
    sheet.text(reading.link);
    sheet.text(reading.strand);
    sheet.number(
        reading.kind == ReadingKind::no_light ? std::numeric_limits<double>::quiet_NaN() : reading.value,
        CellLook::two_decimals);
    sheet.say(unit_of(reading.kind));
    sheet.say(row.why, CellLook::wrapped);
    sheet.text(row.proposal.empty() ? "" : sheet.words().say("may have meant") + " " + row.proposal,
               CellLook::wrapped);
    sheet.say(row.by, CellLook::wrapped);
    sheet.next_row();
  }
}

void notes(LedgerSheet& sheet, const std::vector<ImportNote>& rows) {
  for (const ImportNote& note : rows) {
    sheet.say("how the file was understood");
    sheet.text(note.file);
    sheet.text(note.sheet);
    sheet.skip(6);
    sheet.say(note.text, CellLook::wrapped);
    sheet.next_row();
  }
}

std::string evidence_of(const Finding& finding, const Wording& words) {
  std::string text;
  for (const auto& [name, value] : finding.evidence) {
    if (!text.empty()) text += "; ";
    text += name + " = ";
    text += std::holds_alternative<double>(value)
                ? words.figure(fmt::format("{:.6g}", std::get<double>(value)))
                : words.cell(std::get<std::string>(value));
  }
  return text;
}

std::string tests_of(const Assessment& all, const Finding& finding, const Wording& words) {
  constexpr std::size_t room = 30'000;
  std::string text;
  for (const std::uint32_t index : finding.tests) {
    if (index >= all.tests.size()) continue;
    if (text.size() > room) return text + "; " + words.say("and more");
    const JudgedTest& test = all.tests[index];
    text +=
        fmt::format("{}{} {} nm {}", text.empty() ? "" : "; ", strand_title(all.schedule[test.strand]),
                    test.wavelength.value, words.say(test.direction ? text_of(*test.direction) : "either"));
  }
  return text;
}

}  // namespace

void write_sources_sheet(LedgerBook& book, const ReportedJob& view, const ReportOptions& options) {
  LedgerSheet sheet = book.add_sheet("Sources");
  worksheet_set_column(sheet.sheet(), 0, 0, 28, nullptr);
  worksheet_set_column(sheet.sheet(), 1, 8, 16, nullptr);
  worksheet_set_column(sheet.sheet(), 9, 9, 60, nullptr);
  sheet.headings({"number", "used for", "wavelengths, nm", "value", "unit", "tests", "document", "edition",
                  "clause", "standing", "note"});
  for (const UsedNumber& number : used_numbers(view.all)) {
    sheet.say(number.term);
    sheet.say("limit");
    sheet.text(sheet.words().wavelengths(number.wavelengths));
    sheet.number(number.each.value, CellLook::three_decimals);
    sheet.text(number.term == "fibre" ? "dB/km" : "dB");
    sheet.count(number.tests);
    source_cells(sheet, number.source);
  }
  for (const ContributionRow& row : options.uncertainty) {
    sheet.say(row.name);
    sheet.say("uncertainty");
    sheet.text(row.wavelength ? sheet.words().plain(row.wavelength->value) : "");
    sheet.number(row.half_width, CellLook::three_decimals);
    sheet.text(sheet.words().say(unit_of(row.scale)) + ", " + sheet.words().say("half-width"));
    sheet.skip();
    source_cells(sheet, row.source);
  }
}

void write_kept_sheet(LedgerBook& book, const ReportedJob& view) {
  LedgerSheet sheet = book.add_sheet("Kept rows");
  worksheet_set_column(sheet.sheet(), 0, 1, 26, nullptr);
  worksheet_set_column(sheet.sheet(), 2, 8, 12, nullptr);
  worksheet_set_column(sheet.sheet(), 9, 11, 40, nullptr);
  sheet.headings({"kind", "file", "sheet", "row", "column", "link", "strand", "value", "unit",
                  "found, or why", "expected, or may have meant", "what to do, or how alike"});
  unread(sheet, view.job.unread_rows);
  unmatched(sheet, view.all);
  notes(sheet, view.job.notes);
}

void write_records_sheets(LedgerBook& book, const ReportedJob& view) {
  const SiteRecords& records = view.all.records;
  if (!records.calibrations.empty()) {
    LedgerSheet sheet = book.add_sheet("Calibrations");
    worksheet_set_column(sheet.sheet(), 0, 4, 22, nullptr);
    sheet.headings({"instrument", "kind", "certificate", "calibrated on", "valid through"});
    for (const Calibration& each : records.calibrations) {
      sheet.text(each.instrument);
      sheet.text(each.kind);
      sheet.text(each.certificate);
      sheet.text(sheet.words().day(each.from));
      sheet.text(sheet.words().day(each.through));
      sheet.next_row();
    }
  }
  if (records.light_paths.empty()) return;
  LedgerSheet sheet = book.add_sheet("Light paths");
  worksheet_set_column(sheet.sheet(), 0, 3, 22, nullptr);
  sheet.headings({"light in", "light out", "time", "operator"});
  for (const LightPath& each : records.light_paths) {
    sheet.text(each.in);
    sheet.text(each.out.empty() ? sheet.words().say("no light") : each.out);
    sheet.text(each.time ? sheet.words().moment(*each.time) : "");
    sheet.text(each.operator_name);
    sheet.next_row();
  }
}

void write_findings_sheet(LedgerBook& book, const ReportedJob& view) {
  LedgerSheet sheet = book.add_sheet("Findings");
  worksheet_set_column(sheet.sheet(), 0, 0, 8, nullptr);
  worksheet_set_column(sheet.sheet(), 1, 1, 22, nullptr);
  worksheet_set_column(sheet.sheet(), 3, 8, 50, nullptr);
  sheet.headings(
      {"id", "kind", "weight", "summary", "evidence", "chance", "next step", "number of tests", "tests"});
  for (const Finding& finding : view.job.findings) {
    sheet.text(finding.id);
    sheet.text(finding.kind);
    sheet.say(text_of(finding.weight));
    sheet.say(finding.summary, CellLook::wrapped);
    sheet.text(evidence_of(finding, sheet.words()), CellLook::wrapped);
    sheet.text(finding.chance ? sheet.words().figure(fmt::format("{:.2g}", *finding.chance)) : std::string{});
    sheet.say(finding.advice, CellLook::wrapped);
    sheet.count(finding.tests.size());
    sheet.text(tests_of(view.all, finding, sheet.words()), CellLook::wrapped);
    sheet.next_row();
  }
}

}  // namespace strandbook
