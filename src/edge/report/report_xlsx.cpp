#include "edge/report/draft_file.hpp"
#include "edge/report/ledger_book.hpp"
#include "edge/report/report.hpp"

namespace strandbook {

Result<Done> write_report_xlsx(const JudgedJob& job, const ReportOptions& options, const std::string& path,
                               const Progress& progress) {
  auto draft = DraftFile::beside(path);
  if (!draft) return draft.problem();
  const Wording words(options.language);
  LedgerBook book(draft->path(), folder_of(path), words);
  if (!book.usable()) return cannot_write(path, "the workbook cannot be begun");
  const ReportedJob view(job);
  book.describe(job, options);
  write_summary_sheet(book, view, options);
  if (!write_test_sheets(book, view, progress)) return cancelled(path);
  write_sources_sheet(book, view, options);
  write_kept_sheet(book, view);
  write_records_sheets(book, view);
  write_traces_sheet(book, view);
  write_findings_sheet(book, view);
  if (const auto reason = book.close()) return cannot_write(path, *reason);
  return draft->keep();
}

}  // namespace strandbook
