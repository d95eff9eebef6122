#pragma once
// How an ODS workbook's cell styles show numbers, as far as the shown number is more than its value.

#include <map>
#include <string>
#include <string_view>

#include "edge/exchange/number_format.hpp"
#include "edge/exchange/xml_events.hpp"

namespace strandbook {

/// Fed with styles.xml and then the styles of content.xml, whose names come first. Dates and times carry
/// their meaning in the cells themselves, so only padded numbers ("007") are looked for.
class OdsStyles : public XmlListener {
 public:
  NumberFormat of(const std::string& cell_style) const;

  void opened(std::string_view element, const XmlAttributes& attributes) override;
  void closed(std::string_view element) override;
  void text(std::string_view part) override;

 private:
  struct CellStyle {
    std::string number_style;
    std::string parent;
  };
  void add_number(const XmlAttributes& attributes);

  std::map<std::string, CellStyle> cells_;
  std::map<std::string, NumberFormat> numbers_;
  std::string number_style_;  ///< the one being read
  NumberFormat format_;
  bool is_bare_ = true;  ///< nothing stands beside the digits
};

}  // namespace strandbook
