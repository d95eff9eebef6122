#include "edge/exchange/ods_workbook.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <vector>

#include "edge/exchange/ods_cell.hpp"
#include "edge/exchange/ods_styles.hpp"
#include "edge/exchange/workbook_part.hpp"
#include "edge/exchange/workbook_problem.hpp"

namespace strandbook {
namespace {

/// What may stand in a sheet or a paragraph without being text of a cell.
bool is_foreign(std::string_view element) {
  constexpr std::array<std::string_view, 9> kForeign = {"tracked-changes", "dde-links",  "shapes",
                                                        "forms",           "annotation", "note",
                                                        "ruby-text",       "frame",      "custom-shape"};
  return std::find(kForeign.begin(), kForeign.end(), element) != kForeign.end();
}

class OdsSheets : public XmlListener {
 public:
  OdsSheets(OdsStyles& styles, SheetBuilder& builder) : styles_(styles), builder_(builder) {}
  bool is_done() const override { return builder_.refusal() != SheetRefusal::none; }

  void opened(std::string_view element, const XmlAttributes& attributes) override {
    if (skipped_ > 0 || is_foreign(element) || is_odd_child(element)) {
      ++skipped_;
    } else if (in_cell_) {
      open_in_cell(element, attributes);
    } else if (!in_table_) {
      styles_.opened(element, attributes);
      if (element == "table") begin_table(attributes);
    } else if (element == "table-column") {
      add_columns(attributes);
    } else if (element == "table-row") {
      begin_row(attributes);
    } else if (element == "table-cell" || element == "covered-table-cell") {
      begin_cell(element, attributes);
    }
  }

  void closed(std::string_view element) override {
    if (skipped_ > 0) {
      --skipped_;
    } else if (element == "p" && in_cell_) {
      text_.end_paragraph();
    } else if (element == "table-cell" || element == "covered-table-cell") {
      end_cell();
    } else if (element == "table-row") {
      row_ += row_repeat_;
    } else if (element == "table") {
      in_table_ = false;
    } else if (!in_table_) {
      styles_.closed(element);
    }
  }

  void text(std::string_view part) override {
    if (skipped_ > 0) return;
    if (in_cell_ && text_.in_paragraph()) text_.add(part);
    if (!in_table_) styles_.text(part);
  }

 private:
  /// Beside paragraphs a cell holds only what is no text of its own: drawings, tables within.
  bool is_odd_child(std::string_view element) const {
    return in_cell_ && !text_.in_paragraph() && element != "p";
  }

  void begin_table(const XmlAttributes& attributes) {
    in_table_ = true;
    row_ = 0;
    columns_.clear();
    builder_.begin_sheet(std::string(attributes.in(ods_table_space, "name")), "ODS workbook");
  }
  void add_columns(const XmlAttributes& attributes) {
    const std::size_t end = columns_.empty() ? 0 : columns_.back().end;
    columns_.push_back({end + repeat_of(attributes.in(ods_table_space, "number-columns-repeated")),
                        std::string(attributes.in(ods_table_space, "default-cell-style-name"))});
  }
  void begin_row(const XmlAttributes& attributes) {
    row_repeat_ = repeat_of(attributes.in(ods_table_space, "number-rows-repeated"));
    row_style_ = attributes.in(ods_table_space, "default-cell-style-name");
    column_ = 0;
    builder_.begin_row(row_);
    builder_.repeat_row(row_repeat_);
  }
  void begin_cell(std::string_view element, const XmlAttributes& attributes) {
    in_cell_ = true;
    text_.clear();
    cell_ = ods_cell(element, attributes);
  }
  void open_in_cell(std::string_view element, const XmlAttributes& attributes) {
    if (element == "p" && !text_.in_paragraph()) return text_.begin_paragraph();
    text_.add_element(element, attributes);
  }
  void end_cell() {
    if (!in_cell_) return;
    in_cell_ = false;
    const std::string text = ods_cell_text(cell_, text_, styles_.of(style_of_cell()));
    if (!text.empty()) builder_.add_cell(column_, builder_.store(text), cell_.repeat);
    column_ += cell_.repeat;
  }
  std::string style_of_cell() const {
    if (!cell_.style.empty()) return cell_.style;
    if (!row_style_.empty()) return row_style_;
    for (const Columns& columns : columns_)
      if (column_ < columns.end) return columns.style;
    return {};
  }

  struct Columns {
    std::size_t end;
    std::string style;
  };
  OdsStyles& styles_;
  SheetBuilder& builder_;
  std::size_t skipped_ = 0;  ///< depth within something left out
  bool in_table_ = false;
  bool in_cell_ = false;
  std::vector<Columns> columns_;
  std::size_t row_ = 0;
  std::size_t row_repeat_ = 1;
  std::string row_style_;
  std::size_t column_ = 0;
  OdsCell cell_;
  OdsText text_;
};

}  // namespace

Result<Done> read_ods(ZipPackage& package, const std::string& file, SheetBuilder& builder) {
  const std::string manifest = "META-INF/manifest.xml";
  if (package.has(manifest)) {
    const Result<std::string> xml = package.read(manifest);
    if (!xml) return xml.problem();
    if (xml->find("encryption-data") != std::string::npos) return encrypted_workbook(file);
  }
  OdsStyles styles;
  if (package.has("styles.xml")) {
    if (auto told = tell_part(package, file, "styles.xml", styles); !told) return told;
  }
  OdsSheets sheets(styles, builder);
  return tell_part(package, file, "content.xml", sheets);
}

}  // namespace strandbook
