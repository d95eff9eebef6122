#pragma once
// One cell of an ODS sheet: its text as a person sees it, or its value where that says more.

#include <cstddef>
#include <string>
#include <string_view>

#include "edge/exchange/number_format.hpp"
#include "edge/exchange/xml_events.hpp"

namespace strandbook {

/// How the namespace of the attributes of tables, rows and cells ends.
inline constexpr std::string_view ods_table_space = "xmlns:table:1.0";

/// Paragraphs of a cell, with the blanks, tabs and line ends that ODF writes as elements.
class OdsText {
 public:
  void clear();
  void begin_paragraph();
  void end_paragraph() { in_paragraph_ = false; }
  bool in_paragraph() const { return in_paragraph_; }
  /// An element within a paragraph: text:s, text:tab, text:line-break; others add nothing of their own.
  void add_element(std::string_view element, const XmlAttributes& attributes);
  /// Line ends and tabs in the XML are layout and count as one blank (ODF 1.3 part 3, 6.1.2). Blanks in a row
  /// should count as one too, but LibreOffice 7.4 writes and reads them as they are, so they are kept.
  void add(std::string_view text);
  const std::string& whole() const { return whole_; }
  std::size_t paragraphs() const { return paragraphs_; }

 private:
  std::string whole_;
  std::size_t paragraphs_ = 0;
  bool in_paragraph_ = false;
  bool after_layout_ = false;
};

struct OdsCell {
  std::string type;   ///< office:value-type
  std::string value;  ///< the attribute that goes with the type
  std::string style;
  std::size_t repeat = 1;
  bool is_covered = false;  ///< by a merged range that begins elsewhere
  bool is_error = false;
};

OdsCell ods_cell(std::string_view element, const XmlAttributes& attributes);

/// What the Grid shall hold for the cell.
std::string ods_cell_text(const OdsCell& cell, const OdsText& text, NumberFormat format);

/// "26:03:04" from the duration "PT26H03M04S"; other text as it stands (ISO 8601 durations, XML
/// Schema 3.2.6).
std::string clock_of_duration(const std::string& duration);

/// The number in a "repeated" attribute; 1 where there is none.
std::size_t repeat_of(std::string_view attribute);

}  // namespace strandbook
