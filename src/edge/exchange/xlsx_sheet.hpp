#pragma once
// One worksheet of an XLSX package -> rows of the SheetBuilder.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "edge/exchange/sheet_builder.hpp"
#include "edge/exchange/xlsx_parts.hpp"
#include "edge/exchange/xml_events.hpp"

namespace strandbook {

struct CellAddress {
  std::size_t row = 0;  ///< from 0
  std::size_t column = 0;
};

/// "B7" -> row 6, column 1.
std::optional<CellAddress> parse_address(std::string_view address);

/// Merged ranges of a sheet. They stand behind its cells, so they are read in a pass of their own.
class XlsxMerges : public XmlListener {
 public:
  /// True where the cell lies in a merged range and is not its first.
  bool covers(CellAddress cell);

  void opened(std::string_view element, const XmlAttributes& attributes) override;
  void closed(std::string_view) override {}
  void text(std::string_view) override {}

 private:
  struct Range {
    CellAddress first;
    CellAddress last;
  };
  void pick_row(std::size_t row);

  std::vector<Range> all_;
  std::vector<Range> in_row_;
  std::optional<std::size_t> row_;
};

struct XlsxContext {
  const XlsxStyles& styles;
  const XlsxSharedText& shared;
  DateSystem dates;
};

class XlsxSheetReader : public XmlListener {
 public:
  XlsxSheetReader(const XlsxContext& context, XlsxMerges& merges, SheetBuilder& builder)
      : context_(context), merges_(merges), builder_(builder) {}

  void opened(std::string_view element, const XmlAttributes& attributes) override;
  void closed(std::string_view element) override;
  void text(std::string_view part) override;
  bool is_done() const override { return builder_.refusal() != SheetRefusal::none; }

 private:
  void begin_row(const XmlAttributes& attributes);
  void begin_cell(const XmlAttributes& attributes);
  void end_cell();
  TextPiece cell_text();
  std::string number_or_text() const;

  XlsxContext context_;
  XlsxMerges& merges_;
  SheetBuilder& builder_;
  std::size_t next_row_ = 0;
  CellAddress cell_;
  std::size_t next_column_ = 0;
  std::string type_;
  std::string style_;
  std::string value_;
  bool in_value_ = false;
  bool in_phonetic_ = false;
  bool in_cell_ = false;
};

}  // namespace strandbook
