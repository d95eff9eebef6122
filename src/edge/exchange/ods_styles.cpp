#include "edge/exchange/ods_styles.hpp"

#include "edge/exchange/workbook_part.hpp"

namespace strandbook {
namespace {

constexpr std::string_view kStyle = "xmlns:style:1.0";
constexpr std::string_view kNumber = "xmlns:datastyle:1.0";
constexpr int kLongestChain = 16;  // of parent styles; also ends a circle of them
constexpr std::size_t kMostDigits = 64;

}  // namespace

NumberFormat OdsStyles::of(const std::string& cell_style) const {
  std::string name = cell_style;
  for (int step = 0; step < kLongestChain; ++step) {
    const auto style = cells_.find(name);
    if (style == cells_.end()) return {};
    const auto number = numbers_.find(style->second.number_style);
    if (number != numbers_.end()) return number->second;
    if (!style->second.number_style.empty()) return {};
    name = style->second.parent;
  }
  return {};
}

void OdsStyles::opened(std::string_view element, const XmlAttributes& attributes) {
  if (element == "style" && attributes.in(kStyle, "family") == "table-cell")
    cells_.insert_or_assign(std::string(attributes.in(kStyle, "name")),
                            CellStyle{std::string(attributes.in(kStyle, "data-style-name")),
                                      std::string(attributes.in(kStyle, "parent-style-name"))});
  if (element == "number-style") {
    number_style_ = attributes.in(kStyle, "name");
    format_ = {};
    is_bare_ = true;
  }
  if (element == "number") add_number(attributes);
}

void OdsStyles::add_number(const XmlAttributes& attributes) {
  const std::size_t digits = parse_index(attributes.in(kNumber, "min-integer-digits"));
  const std::string_view decimals = attributes.in(kNumber, "decimal-places");
  const bool is_whole = decimals.empty() || decimals == "0";
  const bool is_grouped = attributes.in(kNumber, "grouping") == "true";
  if (is_whole && !is_grouped && digits >= 2 && digits <= kMostDigits) format_ = {FormatKind::padded, digits};
}

void OdsStyles::closed(std::string_view element) {
  if (element != "number-style") return;
  numbers_.insert_or_assign(number_style_, is_bare_ ? format_ : NumberFormat{});
  number_style_.clear();
}

void OdsStyles::text(std::string_view part) {
  const bool is_blank = part.find_first_not_of(" \t\r\n") == std::string_view::npos;
  if (!number_style_.empty() && !is_blank) is_bare_ = false;
}

}  // namespace strandbook
