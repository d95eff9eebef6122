#include "edge/exchange/xlsx_workbook.hpp"

#include <utility>

#include "edge/exchange/workbook_part.hpp"
#include "edge/exchange/workbook_problem.hpp"
#include "edge/exchange/xlsx_parts.hpp"
#include "edge/exchange/xlsx_sheet.hpp"

namespace strandbook {
namespace {

constexpr std::size_t kMostSheets = 1000;

Problem binary_workbook(const std::string& file) {
  return {{file, {}, 0, {}},
          "a binary workbook (XLSB)",
          "XLSX or ODS",
          "open it in the spreadsheet program and save it as XLSX or ODS"};
}

Result<Done> damage(const std::string& file, const std::string& part, const std::string& what) {
  return damaged_workbook(file, "part " + part + ": " + what);
}

class XlsxReader {
 public:
  XlsxReader(ZipPackage& package, const std::string& file, SheetBuilder& builder)
      : package_(package), file_(file), builder_(builder), shared_(builder) {}

  Result<Done> read() {
    Relationships root("");
    if (auto told = tell_part(package_, file_, root.part(), root); !told) return told;
    const std::string workbook = root.first("/officeDocument");
    if (workbook.ends_with(".bin")) return binary_workbook(file_);
    if (workbook.empty()) return damaged_workbook(file_, "it names no workbook");
    if (auto told = tell_part(package_, file_, workbook, contents_); !told) return told;
    Relationships parts(workbook);
    if (auto told = tell_part(package_, file_, parts.part(), parts); !told) return told;
    if (auto told = read_shared_parts(parts); !told) return told;
    return read_sheets(parts);
  }

 private:
  Result<Done> read_shared_parts(const Relationships& parts) {
    const std::string styles = parts.first("/styles");
    if (!styles.empty()) {
      if (auto told = tell_part(package_, file_, styles, styles_); !told) return told;
    }
    const std::string shared = parts.first("/sharedStrings");
    if (shared.empty()) return Done{};
    return tell_part(package_, file_, shared, shared_);
  }

  Result<Done> read_sheets(const Relationships& parts) {
    if (contents_.sheets.size() > kMostSheets) return oversized_workbook(file_, "more than 1000 sheets");
    for (const XlsxSheet& sheet : contents_.sheets) {
      const std::string part = parts.target(sheet.relationship, "/worksheet");
      if (part.empty() && parts.target(sheet.relationship, "").empty())
        return damaged_workbook(file_, "its sheet " + sheet.name + " is missing");
      if (part.empty()) continue;
      if (auto read = read_sheet(sheet.name, part); !read) return read;
    }
    return Done{};
  }

  Result<Done> read_sheet(const std::string& name, const std::string& part) {
    const Result<std::string> xml = package_.read(part);
    if (!xml) return xml.problem();
    XlsxMerges merges;
    if (xml->find("mergeCell ") != std::string::npos) {
      if (auto told = tell_xml(*xml, merges); !told) return damage(file_, part, told.problem().found);
    }
    builder_.begin_sheet(name, contents_.dates == DateSystem::from_1904
                                   ? "XLSX workbook, dates counted from 1904"
                                   : "XLSX workbook");
    XlsxSheetReader reader({styles_, shared_, contents_.dates}, merges, builder_);
    if (auto told = tell_xml(*xml, reader); !told) return damage(file_, part, told.problem().found);
    return Done{};
  }

  ZipPackage& package_;
  const std::string& file_;
  SheetBuilder& builder_;
  XlsxContents contents_;
  XlsxStyles styles_;
  XlsxSharedText shared_;
};

}  // namespace

Result<Done> read_xlsx(ZipPackage& package, const std::string& file, SheetBuilder& builder) {
  return XlsxReader(package, file, builder).read();
}

}  // namespace strandbook
