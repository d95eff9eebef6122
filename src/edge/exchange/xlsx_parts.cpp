#include "edge/exchange/xlsx_parts.hpp"

#include <algorithm>
#include <charconv>

namespace strandbook {
namespace {

/// "xl/worksheets/sheet1.xml" from folder "xl/" and target "worksheets/sheet1.xml"; a leading '/' is the
/// root.
std::string resolve(const std::string& folder, std::string_view target) {
  const std::string whole =
      target.starts_with('/') ? std::string(target.substr(1)) : folder + std::string(target);
  std::vector<std::string_view> steps;
  std::string_view rest = whole;
  while (!rest.empty()) {
    const std::string_view step = rest.substr(0, rest.find('/'));
    rest.remove_prefix(std::min(rest.size(), step.size() + 1));
    if (step == ".." && !steps.empty()) steps.pop_back();
    if (!step.empty() && step != "." && step != "..") steps.push_back(step);
  }
  std::string path;
  for (const std::string_view step : steps) path.append(path.empty() ? "" : "/").append(step);
  return path;
}

constexpr std::size_t kEscapeLength = 7;

/// The character of an escape such as "_x000D_" at the front of the text, or 0.
char escaped_character(std::string_view text) {
  if (text.size() < kEscapeLength || !text.starts_with("_x") || text[6] != '_') return 0;
  unsigned code = 0;
  const auto parsed = std::from_chars(text.data() + 2, text.data() + 6, code, 16);
  const bool is_ascii = parsed.ec == std::errc{} && parsed.ptr == text.data() + 6 && code < 0x80;
  return is_ascii ? static_cast<char>(code) : '\0';
}

}  // namespace

std::string unescape_xlsx(std::string text) {
  std::size_t at = text.find("_x");
  for (; at != std::string::npos; at = text.find("_x", at + 1)) {
    const char character = escaped_character(std::string_view(text).substr(at));
    if (character != 0) text.replace(at, kEscapeLength, 1, character);
  }
  return text;
}

Relationships::Relationships(std::string_view of_part) {
  const std::size_t slash = of_part.rfind('/');
  const std::size_t name = slash == std::string_view::npos ? 0 : slash + 1;
  folder_ = of_part.substr(0, name);
  part_ = folder_ + "_rels/" + std::string(of_part.substr(name)) + ".rels";
}

void Relationships::opened(std::string_view element, const XmlAttributes& attributes) {
  if (element != "Relationship" || attributes.plain("TargetMode") == "External") return;
  all_.push_back({std::string(attributes.plain("Id")), std::string(attributes.plain("Type")),
                  resolve(folder_, attributes.plain("Target"))});
}

std::string Relationships::target(const std::string& id, std::string_view kind) const {
  for (const Relationship& each : all_)
    if (each.id == id && each.type.ends_with(kind)) return each.target;
  return {};
}

std::string Relationships::first(std::string_view kind) const {
  for (const Relationship& each : all_)
    if (each.type.ends_with(kind)) return each.target;
  return {};
}

void XlsxContents::opened(std::string_view element, const XmlAttributes& attributes) {
  if (element == "sheet")
    sheets.push_back(
        {std::string(attributes.plain("name")), std::string(attributes.in("/relationships", "id"))});
  if (element != "workbookPr") return;
  const std::string_view flag = attributes.plain("date1904");
  if (flag == "1" || flag == "true" || flag == "on") dates = DateSystem::from_1904;
}

NumberFormat XlsxStyles::of(std::string_view style_index) const {
  const std::size_t index = style_index.empty() ? 0 : parse_index(style_index);
  return index < cells_.size() ? cells_[index] : NumberFormat{};
}

void XlsxStyles::opened(std::string_view element, const XmlAttributes& attributes) {
  if (element == "cellXfs") in_cells_ = true;
  if (element == "numFmt")
    own_.emplace(parse_index(attributes.plain("numFmtId")), format_of_code(attributes.plain("formatCode")));
  if (element != "xf" || !in_cells_) return;
  const std::size_t id = parse_index(attributes.plain("numFmtId"));
  const auto own = own_.find(id);
  cells_.push_back(own != own_.end() ? own->second : format_of_builtin(id));
}

void XlsxStyles::closed(std::string_view element) {
  if (element == "cellXfs") in_cells_ = false;
}

TextPiece XlsxSharedText::of(std::string_view index) const {
  const std::size_t at = parse_index(index);
  return at < texts_.size() ? texts_[at] : TextPiece{};
}

void XlsxSharedText::opened(std::string_view element, const XmlAttributes&) {
  if (element == "rPh") in_phonetic_ = true;
  if (element == "t") in_text_ = !in_phonetic_;
}

void XlsxSharedText::closed(std::string_view element) {
  if (element == "t") in_text_ = false;
  if (element == "rPh") in_phonetic_ = false;
  if (element != "si") return;
  texts_.push_back(builder_.store(unescape_xlsx(std::move(item_))));
  item_.clear();
}

void XlsxSharedText::text(std::string_view part) {
  if (in_text_) item_ += part;
}

}  // namespace strandbook
