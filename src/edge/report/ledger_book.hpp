#pragma once
// The workbook as it is written: row by row, so that memory stays small whatever the job's size.

#include <xlsxwriter.h>

#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/progress.hpp"
#include "edge/report/report.hpp"
#include "edge/report/reported_job.hpp"
#include "edge/report/wording.hpp"

namespace strandbook {

/// How a cell shows its value.
enum class CellLook : std::uint8_t {
  text,
  heading,
  title,
  wrapped,
  whole,
  two_decimals,
  three_decimals,
  four_decimals
};

/// Writes one sheet from top to bottom.
class LedgerSheet {
 public:
  /// `cells` counts the cells written; it outlives the sheet.
  LedgerSheet(lxw_worksheet* sheet, const std::vector<lxw_format*>& looks, std::size_t& cells,
              const Wording& words)
      : sheet_(sheet), looks_(looks), cells_(cells), words_(words) {}

  /// 0-based row that is being written.
  lxw_row_t row() const { return row_; }
  void next_row() {
    ++row_;
    column_ = 0;
  }
  void skip(lxw_col_t columns = 1) { column_ = static_cast<lxw_col_t>(column_ + columns); }
  /// Each of these fills the next cell of the row. Texts stay texts, whatever they begin with.
  void text(std::string_view value, CellLook look = CellLook::text);
  /// A text of ours, in the language of the workbook.
  void say(std::string_view english, CellLook look = CellLook::text) { text(words_.say(english), look); }
  const Wording& words() const { return words_; }
  void number(double value, CellLook look);
  void count(std::size_t value) { number(static_cast<double>(value), CellLook::whole); }
  /// A live formula with the value it has now, for viewers that do not recalculate.
  void formula(const std::string& formula, double value, CellLook look);
  void formula(const std::string& formula, std::string_view value);
  /// Titles are said in the language of the workbook.
  void headings(std::initializer_list<std::string_view> titles);

  lxw_worksheet* sheet() { return sheet_; }

 private:
  lxw_format* look_of(CellLook look) const { return looks_[static_cast<std::size_t>(look)]; }
  void wrote(lxw_error error);
  lxw_worksheet* sheet_;
  const std::vector<lxw_format*>& looks_;
  std::size_t& cells_;
  const Wording& words_;
  lxw_row_t row_ = 0;
  lxw_col_t column_ = 0;
};

class LedgerBook {
 public:
  /// `folder` takes the parts of the book while it is written.
  LedgerBook(const std::string& path, const std::string& folder, const Wording& words);
  LedgerBook(const LedgerBook&) = delete;
  LedgerBook& operator=(const LedgerBook&) = delete;
  ~LedgerBook();

  bool usable() const { return book_ != nullptr; }
  /// `name` in English; it is said in the language of the workbook.
  LedgerSheet add_sheet(const std::string& name);
  const Wording& words() const { return words_; }
  void describe(const JudgedJob& job, const ReportOptions& options);
  void name_cell(const std::string& name, const std::string& reference);
  /// Assembles the file and reads it back; the reason where it is not whole.
  std::optional<std::string> close();

 private:
  std::string path_;
  const Wording& words_;
  lxw_workbook* book_ = nullptr;
  std::vector<lxw_format*> looks_;
  std::deque<std::size_t> cells_;  ///< per sheet; a deque keeps their places
};

/// Names of the cells on the summary sheet that the formulas of the tests read.
inline constexpr std::string_view guard_name = "guard_band";
inline constexpr std::string_view coverage_name = "coverage_factor";

/// Tests a sheet holds; more go on further sheets (a sheet has 1 048 576 rows).
inline constexpr std::size_t tests_per_sheet = 1'000'000;
std::string tests_sheet_name(std::size_t number, const Wording& words);

void write_summary_sheet(LedgerBook& book, const ReportedJob& view, const ReportOptions& options);
/// False where the work was cancelled.
bool write_test_sheets(LedgerBook& book, const ReportedJob& view, const Progress& progress);
void write_sources_sheet(LedgerBook& book, const ReportedJob& view, const ReportOptions& options);
void write_kept_sheet(LedgerBook& book, const ReportedJob& view);
/// Certificates of instruments and light paths, where there are any.
void write_records_sheets(LedgerBook& book, const ReportedJob& view);
/// Events of all traces, where there are any.
void write_traces_sheet(LedgerBook& book, const ReportedJob& view);
void write_findings_sheet(LedgerBook& book, const ReportedJob& view);

/// Column of the outcome on a tests sheet.
inline constexpr std::string_view outcome_column = "AD";

}  // namespace strandbook
