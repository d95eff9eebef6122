#include "edge/exchange/xlsx_sheet.hpp"

#include <charconv>
#include <utility>

namespace strandbook {

std::optional<CellAddress> parse_address(std::string_view address) {
  std::size_t at = 0;
  std::size_t column = 0;
  for (; at < address.size() && at < 4 && address[at] >= 'A' && address[at] <= 'Z'; ++at)
    column = column * 26 + static_cast<std::size_t>(address[at] - 'A') + 1;
  const std::size_t row = parse_index(address.substr(at));
  if (column == 0 || column > SheetBuilder::kMostColumns) return std::nullopt;
  if (row == 0 || row > SheetBuilder::kMostRows) return std::nullopt;
  return CellAddress{row - 1, column - 1};
}

void XlsxMerges::opened(std::string_view element, const XmlAttributes& attributes) {
  if (element != "mergeCell") return;
  const std::string_view range = attributes.plain("ref");
  const std::size_t colon = range.find(':');
  if (colon == std::string_view::npos) return;
  const auto first = parse_address(range.substr(0, colon));
  const auto last = parse_address(range.substr(colon + 1));
  if (first && last) all_.push_back({*first, *last});
}

void XlsxMerges::pick_row(std::size_t row) {
  row_ = row;
  in_row_.clear();
  for (const Range& range : all_)
    if (range.first.row <= row && row <= range.last.row) in_row_.push_back(range);
}

bool XlsxMerges::covers(CellAddress cell) {
  if (all_.empty()) return false;
  if (row_ != cell.row) pick_row(cell.row);
  for (const Range& range : in_row_) {
    const bool inside = range.first.column <= cell.column && cell.column <= range.last.column;
    const bool is_first = range.first.row == cell.row && range.first.column == cell.column;
    if (inside && !is_first) return true;
  }
  return false;
}

void XlsxSheetReader::opened(std::string_view element, const XmlAttributes& attributes) {
  if (element == "row") return begin_row(attributes);
  if (element == "c") return begin_cell(attributes);
  if (element == "rPh") in_phonetic_ = true;
  if (element == "v" || element == "t") in_value_ = in_cell_ && !in_phonetic_;
}

void XlsxSheetReader::closed(std::string_view element) {
  if (element == "c") end_cell();
  if (element == "rPh") in_phonetic_ = false;
  if (element == "v" || element == "t") in_value_ = false;
}

void XlsxSheetReader::text(std::string_view part) {
  if (in_value_) value_ += part;
}

void XlsxSheetReader::begin_row(const XmlAttributes& attributes) {
  const std::string_view number = attributes.plain("r");
  const std::size_t row = number.empty() ? next_row_ : parse_index(number) - 1;
  builder_.begin_row(row);
  cell_.row = row;
  next_row_ = row + 1;
  next_column_ = 0;
}

void XlsxSheetReader::begin_cell(const XmlAttributes& attributes) {
  const auto address = parse_address(attributes.plain("r"));
  cell_.column = address ? address->column : next_column_;
  next_column_ = cell_.column + 1;
  type_ = attributes.plain("t");
  style_ = attributes.plain("s");
  value_.clear();
  in_cell_ = true;
}

void XlsxSheetReader::end_cell() {
  in_cell_ = false;
  if (value_.empty() || merges_.covers(cell_)) return;
  builder_.add_cell(cell_.column, cell_text());
}

TextPiece XlsxSheetReader::cell_text() {
  if (type_ == "s") return context_.shared.of(value_);
  if (type_ == "b") return builder_.store(value_ == "1" || value_ == "true" ? "true" : "false");
  if (type_.empty() || type_ == "n") return builder_.store(number_or_text());
  return builder_.store(unescape_xlsx(std::move(value_)));
}

std::string XlsxSheetReader::number_or_text() const {
  double number = 0;
  const char* const end = value_.data() + value_.size();
  const auto parsed = std::from_chars(value_.data(), end, number);
  if (parsed.ec != std::errc{} || parsed.ptr != end) return value_;
  return formatted_text(number, context_.styles.of(style_), context_.dates);
}

}  // namespace strandbook
