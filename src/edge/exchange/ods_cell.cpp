#include "edge/exchange/ods_cell.hpp"

#include <algorithm>
#include <charconv>

#include "edge/exchange/workbook_part.hpp"

namespace strandbook {
namespace {

constexpr std::string_view kOffice = "xmlns:office:1.0";
constexpr std::string_view kText = "xmlns:text:1.0";
constexpr std::string_view kCalcExtension = "xmlns:calcext:1.0";
constexpr std::size_t kMostRepeats = std::size_t{1} << 24U;
constexpr std::size_t kMostBlanks = 65'536;

std::string_view value_attribute(std::string_view type) {
  if (type == "date") return "date-value";
  if (type == "time") return "time-value";
  if (type == "boolean") return "boolean-value";
  return type == "string" ? "string-value" : "value";
}

/// Takes "26" and the letter off the front of "26H..."; -1 and nothing taken where another letter follows.
double take_part(std::string_view& rest, char letter) {
  double number = 0;
  const auto parsed =
      std::from_chars(rest.data(), rest.data() + rest.size(), number, std::chars_format::fixed);
  const auto length = static_cast<std::size_t>(parsed.ptr - rest.data());
  if (parsed.ec != std::errc{} || length >= rest.size() || rest[length] != letter) return -1;
  rest.remove_prefix(length + 1);
  return number;
}

}  // namespace

void OdsText::clear() {
  whole_.clear();
  paragraphs_ = 0;
  in_paragraph_ = false;
}

void OdsText::begin_paragraph() {
  if (paragraphs_++ > 0) whole_ += '\n';
  in_paragraph_ = true;
  after_layout_ = false;
}

void OdsText::add_element(std::string_view element, const XmlAttributes& attributes) {
  if (element == "s") {
    const std::string_view count = attributes.in(kText, "c");
    whole_.append(count.empty() ? 1 : std::min(parse_index(count), kMostBlanks), ' ');
  }
  if (element == "tab") whole_ += '\t';
  if (element == "line-break") whole_ += '\n';
  after_layout_ = false;
}

void OdsText::add(std::string_view text) {
  for (const char c : text) {
    const bool is_layout = c == '\t' || c == '\n' || c == '\r' || (c == ' ' && after_layout_);
    if (!is_layout) whole_ += c;
    if (is_layout && !after_layout_) whole_ += ' ';
    after_layout_ = is_layout;
  }
}

std::size_t repeat_of(std::string_view attribute) {
  if (attribute.empty()) return 1;
  const std::size_t count = parse_index(attribute);
  return count == std::string_view::npos ? 1 : std::clamp<std::size_t>(count, 1, kMostRepeats);
}

OdsCell ods_cell(std::string_view element, const XmlAttributes& attributes) {
  OdsCell cell;
  cell.type = attributes.in(kOffice, "value-type");
  cell.value = attributes.in(kOffice, value_attribute(cell.type));
  cell.style = attributes.in(ods_table_space, "style-name");
  cell.repeat = repeat_of(attributes.in(ods_table_space, "number-columns-repeated"));
  cell.is_covered = element == "covered-table-cell";
  cell.is_error = attributes.in(kCalcExtension, "value-type") == "error";
  return cell;
}

std::string ods_cell_text(const OdsCell& cell, const OdsText& text, NumberFormat format) {
  if (cell.is_covered) return {};
  if (cell.is_error || cell.value.empty()) return text.whole();
  if (cell.type == "string") return text.paragraphs() > 0 ? text.whole() : cell.value;
  if (cell.type == "date" || cell.type == "boolean") return cell.value;
  if (cell.type == "time") return clock_of_duration(cell.value);
  double number = 0;
  const char* const end = cell.value.data() + cell.value.size();
  const auto parsed = std::from_chars(cell.value.data(), end, number);
  if (parsed.ec != std::errc{} || parsed.ptr != end) return cell.value;
  return formatted_text(number, format, DateSystem::from_1900);
}

std::string clock_of_duration(const std::string& duration) {
  std::string_view rest = duration;
  const bool is_negative = rest.starts_with('-');
  if (is_negative) rest.remove_prefix(1);
  if (!rest.starts_with('P')) return duration;
  rest.remove_prefix(1);
  double seconds = std::max(0.0, take_part(rest, 'D')) * 86'400;
  if (!rest.starts_with('T')) return duration;
  rest.remove_prefix(1);
  seconds += std::max(0.0, take_part(rest, 'H')) * 3600;
  seconds += std::max(0.0, take_part(rest, 'M')) * 60;
  seconds += std::max(0.0, take_part(rest, 'S'));
  const double days = seconds / 86'400;
  constexpr double kLongest = 1000;  // days; what a format of time shows as a clock
  if (!rest.empty() || days >= kLongest) return duration;
  return (is_negative ? "-" : "") + formatted_text(days, {FormatKind::time, 0}, DateSystem::from_1900);
}

}  // namespace strandbook
