#include "edge/report/ledger_book.hpp"

#include <algorithm>
#include <cmath>

#include "edge/report/legible.hpp"
#include "edge/report/workbook_check.hpp"

namespace strandbook {
namespace {

/// A cell holds 32767 characters; a little less leaves room for the ellipsis.
std::string cell_text(std::string_view text) {
  constexpr std::size_t most_bytes = 32'700;
  std::string clean = legible(text);
  if (clean.size() <= most_bytes) return clean;
  std::size_t end = most_bytes;
  while (end > 0 && (static_cast<unsigned char>(clean[end]) & 0xC0u) == 0x80u) --end;
  return clean.substr(0, end) + "\u2026";
}

lxw_format* format_of(lxw_workbook* book, CellLook look) {
  lxw_format* format = workbook_add_format(book);
  format_set_align(format, LXW_ALIGN_VERTICAL_TOP);
  switch (look) {
    case CellLook::text:
      format_set_num_format(format, "@");
      break;
    case CellLook::heading:
      format_set_bold(format);
      format_set_text_wrap(format);
      format_set_bottom(format, LXW_BORDER_THIN);
      break;
    case CellLook::title:
      format_set_font_size(format, 16);
      break;
    case CellLook::wrapped:
      format_set_num_format(format, "@");
      format_set_text_wrap(format);
      break;
    case CellLook::whole:
      format_set_num_format(format, "0");
      break;
    case CellLook::two_decimals:
      format_set_num_format(format, "0.00");
      break;
    case CellLook::three_decimals:
      format_set_num_format(format, "0.000");
      break;
    case CellLook::four_decimals:
      format_set_num_format(format, "0.0000");
      break;
  }
  return format;
}

char* writable(const std::string& text) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-const-cast): the library copies these texts and never writes to
  // them
  return const_cast<char*>(text.c_str());
}

}  // namespace

void LedgerSheet::wrote(lxw_error error) { cells_ += error == LXW_NO_ERROR ? 1 : 0; }

void LedgerSheet::text(std::string_view value, CellLook look) {
  if (!value.empty())
    wrote(worksheet_write_string(sheet_, row_, column_, cell_text(value).c_str(), look_of(look)));
  ++column_;
}

void LedgerSheet::number(double value, CellLook look) {
  // NaN and infinity have no form in a sheet.
  if (std::isfinite(value)) wrote(worksheet_write_number(sheet_, row_, column_, value, look_of(look)));
  ++column_;
}

void LedgerSheet::formula(const std::string& formula, double value, CellLook look) {
  wrote(worksheet_write_formula_num(sheet_, row_, column_++, formula.c_str(), look_of(look),
                                    std::isfinite(value) ? value : 0));
}

void LedgerSheet::formula(const std::string& formula, std::string_view value) {
  wrote(worksheet_write_formula_str(sheet_, row_, column_++, formula.c_str(), look_of(CellLook::whole),
                                    std::string(value).c_str()));
}

void LedgerSheet::headings(std::initializer_list<std::string_view> titles) {
  for (const std::string_view title : titles) say(title, CellLook::heading);
  next_row();
}

LedgerBook::LedgerBook(const std::string& path, const std::string& folder, const Wording& words)
    : path_(path), words_(words) {
  std::string parts = folder;
  lxw_workbook_options options{};
  options.constant_memory = LXW_TRUE;
  options.tmpdir = parts.data();
  book_ = workbook_new_opt(path.c_str(), &options);
  if (book_ == nullptr) return;
  for (const CellLook look :
       {CellLook::text, CellLook::heading, CellLook::title, CellLook::wrapped, CellLook::whole,
        CellLook::two_decimals, CellLook::three_decimals, CellLook::four_decimals})
    looks_.push_back(format_of(book_, look));
}

LedgerBook::~LedgerBook() {
  if (book_ != nullptr) lxw_workbook_free(book_);
}

LedgerSheet LedgerBook::add_sheet(const std::string& name) {
  lxw_worksheet* sheet = workbook_add_worksheet(book_, words_.say(name).c_str());
  worksheet_set_landscape(sheet);
  worksheet_fit_to_pages(sheet, 1, 0);
  return {sheet, looks_, cells_.emplace_back(0), words_};
}

void LedgerBook::describe(const JudgedJob& job, const ReportOptions& options) {
  const std::string title = cell_text(options.title.empty() ? job.name : options.title + ": " + job.name);
  const std::string author = cell_text(options.contractor);
  lxw_doc_properties properties{};
  properties.title = writable(title);
  properties.author = writable(author);
  // The library takes 0 for "now", which would differ from run to run.
  properties.created = std::max<std::int64_t>(options.created.seconds, 1);
  workbook_set_properties(book_, &properties);
}

void LedgerBook::name_cell(const std::string& name, const std::string& reference) {
  workbook_define_name(book_, name.c_str(), reference.c_str());
}

std::optional<std::string> LedgerBook::close() {
  lxw_workbook* book = book_;
  book_ = nullptr;  // workbook_close frees it whatever it returns
  const lxw_error error = workbook_close(book);
  if (error != LXW_NO_ERROR) return lxw_strerror(error);
  return damage_of(path_, {cells_.begin(), cells_.end()});
}

std::string tests_sheet_name(std::size_t number, const Wording& words) {
  const std::string name = words.say("Tests");
  return number == 0 ? name : name + " " + std::to_string(number + 1);
}

}  // namespace strandbook
