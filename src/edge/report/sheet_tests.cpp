// The tests as rows: what was measured, the terms of the limit, and the judgement as live formulas.

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "edge/report/ledger_book.hpp"
#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

struct Product {
  double count = 0;
  double each = 0;
  bool there = false;
};

/// A limit by the columns of the sheet; terms of other names are in `other` as their sum.
struct Terms {
  std::array<Product, 5> products;
  double other = 0;
  bool has_other = false;
};

constexpr std::array<std::string_view, 5> term_names{"fibre", "end connections", "embedded connections",
                                                     "splices", "reference joins"};

Terms terms_of(const Limit& limit) {
  Terms terms;
  for (const LimitTerm& term : limit.working) {
    Product* slot = nullptr;
    for (std::size_t i = 0; i < term_names.size(); ++i)
      if (term.term == term_names[i] && !terms.products[i].there) slot = &terms.products[i];
    if (slot != nullptr) {
      *slot = {term.count, term.each.value, true};
    } else {
      terms.other += term.total.value;
      terms.has_other = true;
    }
  }
  return terms;
}

/// The weakest standing among a limit's numbers: from memory before all others.
std::string_view weakest_standing(const Limit& limit) {
  Standing weakest = Standing::checked;
  for (const LimitTerm& term : limit.working) weakest = std::max(weakest, term.source.standing);
  return text_of(weakest);
}

void headings(LedgerSheet& sheet) {
  sheet.headings({"link",
                  "strand",
                  "cable",
                  "building",
                  "end A",
                  "end B",
                  "fibre",
                  "length, m",
                  "wavelength, nm",
                  "direction",
                  "evidence",
                  "why it does not count",
                  "loss, dB",
                  "u (k = 1), dB",
                  "U, dB",
                  "fibre, km",
                  "dB/km",
                  "end connections",
                  "dB each",
                  "embedded connections",
                  "dB each",
                  "splices",
                  "dB each",
                  "reference joins",
                  "dB each, taken away",
                  "other terms, dB",
                  "limit, dB",
                  "margin, dB",
                  "probability of conformance",
                  "outcome",
                  "weakest standing",
                  "file",
                  "sheet",
                  "row",
                  "reference",
                  "time",
                  "meter"});
}

void identity(LedgerSheet& sheet, const ScheduledStrand& strand) {
  sheet.text(strand.link);
  sheet.text(strand.strand);
  sheet.text(strand.cable);
  sheet.text(strand.building);
  sheet.text(strand.end_a);
  sheet.text(strand.end_b);
  sheet.text(strand.fibre ? sheet.words().say(text_of(*strand.fibre)) : "");
  if (strand.length) {
    sheet.number(strand.length->value, CellLook::two_decimals);
  } else {
    sheet.skip();
  }
}

std::string_view evidence_of(const JudgedTest& test) {
  return test.reason == Reason::none ? "counts" : text_of(test.outcome);
}

std::string_view direction_of(const JudgedTest& test) {
  return test.direction ? text_of(*test.direction) : "either";
}

void measured(LedgerSheet& sheet, const JudgedTest& test, unsigned row) {
  sheet.number(test.wavelength.value, CellLook::whole);
  sheet.say(direction_of(test));
  sheet.say(evidence_of(test));
  sheet.say(sentence_of(test.reason));
  if (!test.has_loss) return sheet.skip(3);
  sheet.number(test.loss.value, CellLook::two_decimals);
  sheet.number(test.standard_uncertainty.value, CellLook::three_decimals);
  sheet.formula(fmt::format("={}*N{}", coverage_name, row), 2 * test.standard_uncertainty.value,
                CellLook::three_decimals);
}

void limit_terms(LedgerSheet& sheet, const Limit* limit, unsigned row) {
  if (limit == nullptr) return sheet.skip(12);
  const Terms terms = terms_of(*limit);
  for (std::size_t i = 0; i < terms.products.size(); ++i) {
    const Product& product = terms.products[i];
    if (!product.there) {
      sheet.skip(2);
      continue;
    }
    sheet.number(product.count, i == 0 ? CellLook::four_decimals : CellLook::whole);
    sheet.number(product.each, CellLook::two_decimals);
  }
  if (terms.has_other) {
    sheet.number(terms.other, CellLook::two_decimals);
  } else {
    sheet.skip();
  }
  sheet.formula(fmt::format("=P{0}*Q{0}+R{0}*S{0}+T{0}*U{0}+V{0}*W{0}+X{0}*Y{0}+Z{0}", row),
                limit->value.value, CellLook::two_decimals);
}

// Nine decimals bring decimal readings held in binary to what was written, as the program does itself.
std::string outcome_formula(unsigned row, const Wording& words) {
  const std::string band = fmt::format("IF({}=\"U\",O{},0)", guard_name, row);
  return fmt::format(
      "=IF(ROUND(M{0},9)<=ROUND(AA{0}-{1},9),\"{2}\",IF(ROUND(M{0},9)<=ROUND(AA{0},9),\"{3}\","
      "IF(ROUND(M{0},9)<=ROUND(AA{0}+{1},9),\"{4}\",\"{5}\")))",
      row, band, words.say(text_of(Outcome::pass)), words.say(text_of(Outcome::conditional_pass)),
      words.say(text_of(Outcome::conditional_fail)), words.say(text_of(Outcome::fail)));
}

void judgement(LedgerSheet& sheet, const Assessment& all, const JudgedTest& test, unsigned row) {
  const auto margin = margin_of(all, test);
  if (!margin) {
    sheet.skip(2);
    sheet.formula(fmt::format("=K{}", row), sheet.words().say(text_of(test.outcome)));
    return;
  }
  sheet.formula(fmt::format("=AA{0}-M{0}", row), margin->value, CellLook::two_decimals);
  sheet.formula(
      fmt::format("=IF(N{0}>0,NORMSDIST((AA{0}-M{0})/N{0}),IF(ROUND(M{0},9)<=ROUND(AA{0},9),1,0))", row),
      test.conformance, CellLook::four_decimals);
  sheet.formula(outcome_formula(row, sheet.words()), sheet.words().say(text_of(test.outcome)));
}

void origin(LedgerSheet& sheet, const Assessment& all, const JudgedTest& test) {
  const Limit* limit = limit_behind(all, test);
  sheet.say(limit == nullptr ? "" : weakest_standing(*limit));
  if (test.reading >= all.readings.rows.size()) return;
  const Reading& reading = all.readings.rows[test.reading];
  const Place place = all.readings.place_of(reading);
  sheet.text(place.file);
  sheet.text(place.sheet);
  sheet.count(place.row);
  sheet.text(test.reference < all.references.size() ? all.references[test.reference].id : "");
  sheet.text(reading.has_time ? sheet.words().moment(reading.time) : "");
  sheet.text(reading.meter);
}

void test_row(LedgerSheet& sheet, const Assessment& all, const JudgedTest& test) {
  const unsigned row = sheet.row() + 1;
  identity(sheet, all.schedule[test.strand]);
  measured(sheet, test, row);
  limit_terms(sheet, limit_behind(all, test), row);
  judgement(sheet, all, test, row);
  origin(sheet, all, test);
  sheet.next_row();
}

void lay_out(LedgerSheet& sheet) {
  worksheet_set_column(sheet.sheet(), 0, 1, 16, nullptr);
  worksheet_set_column(sheet.sheet(), 2, 6, 11, nullptr);
  worksheet_set_column(sheet.sheet(), 7, 10, 10, nullptr);
  worksheet_set_column(sheet.sheet(), 11, 11, 28, nullptr);
  worksheet_set_column(sheet.sheet(), 12, 28, 10, nullptr);
  worksheet_set_column(sheet.sheet(), 29, 31, 17, nullptr);
  worksheet_freeze_panes(sheet.sheet(), 1, 2);
  worksheet_repeat_rows(sheet.sheet(), 0, 0);
}

}  // namespace

bool write_test_sheets(LedgerBook& book, const ReportedJob& view, const Progress& progress) {
  const std::size_t sheets =
      std::max<std::size_t>(1, (view.tests.size() + tests_per_sheet - 1) / tests_per_sheet);
  for (std::size_t number = 0; number < sheets; ++number) {
    LedgerSheet sheet = book.add_sheet(tests_sheet_name(number, book.words()));
    lay_out(sheet);
    headings(sheet);
    const std::size_t end = std::min(view.tests.size(), (number + 1) * tests_per_sheet);
    for (std::size_t i = number * tests_per_sheet; i < end; ++i) {
      test_row(sheet, view.all, view.all.tests[view.tests[i]]);
      const double done = static_cast<double>(i) / static_cast<double>(view.tests.size());
      if (i % 512 == 0 && progress && !progress(done)) return false;
    }
    worksheet_autofilter(sheet.sheet(), 0, 0, sheet.row() - 1, 36);
  }
  return true;
}

}  // namespace strandbook
