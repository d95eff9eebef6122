#pragma once
// The small parts of an XLSX package: which sheets there are, and how their numbers are shown.

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "edge/exchange/number_format.hpp"
#include "edge/exchange/sheet_builder.hpp"
#include "edge/exchange/workbook_part.hpp"
#include "edge/exchange/xml_events.hpp"

namespace strandbook {

/// One part's relationships (ECMA-376 part 2, 6.5), their targets as full part names.
class Relationships : public XmlListener {
 public:
  explicit Relationships(std::string_view of_part);
  /// The part that `of_part` keeps its relationships in.
  const std::string& part() const { return part_; }

  /// Target of the relationship with that id, if its type ends in `kind`; else empty.
  std::string target(const std::string& id, std::string_view kind) const;
  /// Target of the first relationship whose type ends in `kind`; else empty.
  std::string first(std::string_view kind) const;

  void opened(std::string_view element, const XmlAttributes& attributes) override;
  void closed(std::string_view) override {}
  void text(std::string_view) override {}

 private:
  struct Relationship {
    std::string id;
    std::string type;
    std::string target;
  };
  std::string folder_;
  std::string part_;
  std::vector<Relationship> all_;
};

struct XlsxSheet {
  std::string name;
  std::string relationship;
};

/// xl/workbook.xml: sheets in the order of their tabs, and the date system.
class XlsxContents : public XmlListener {
 public:
  std::vector<XlsxSheet> sheets;
  DateSystem dates = DateSystem::from_1900;

  void opened(std::string_view element, const XmlAttributes& attributes) override;
  void closed(std::string_view) override {}
  void text(std::string_view) override {}
};

/// xl/styles.xml: the number format of each cell style.
class XlsxStyles : public XmlListener {
 public:
  /// Format of the cell attribute `s`; plain where there is none.
  NumberFormat of(std::string_view style_index) const;

  void opened(std::string_view element, const XmlAttributes& attributes) override;
  void closed(std::string_view element) override;
  void text(std::string_view) override {}

 private:
  std::map<std::size_t, NumberFormat> own_;
  std::vector<NumberFormat> cells_;
  bool in_cells_ = false;
};

/// xl/sharedStrings.xml: the texts that cells refer to by number. Reading aids (phonetic runs) are left out.
class XlsxSharedText : public XmlListener {
 public:
  explicit XlsxSharedText(SheetBuilder& builder) : builder_(builder) {}
  /// The text with that number; empty where there is none.
  TextPiece of(std::string_view index) const;

  void opened(std::string_view element, const XmlAttributes& attributes) override;
  void closed(std::string_view element) override;
  void text(std::string_view part) override;
  bool is_done() const override { return builder_.refusal() != SheetRefusal::none; }

 private:
  SheetBuilder& builder_;
  std::vector<TextPiece> texts_;
  std::string item_;
  bool in_text_ = false;
  bool in_phonetic_ = false;
};

/// Undoes "_x000D_", the way XLSX writes characters that XML cannot hold (ECMA-376 part 1, 22.9.2.19).
std::string unescape_xlsx(std::string text);

}  // namespace strandbook
