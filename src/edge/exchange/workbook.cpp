#include "edge/exchange/workbook.hpp"

#include <utility>

#include "edge/exchange/ods_workbook.hpp"
#include "edge/exchange/sheet_builder.hpp"
#include "edge/exchange/workbook_problem.hpp"
#include "edge/exchange/xlsx_workbook.hpp"
#include "edge/exchange/zip_package.hpp"

namespace strandbook {
namespace {

using namespace std::string_view_literals;

constexpr std::string_view kZip = "PK\x03\x04";
constexpr std::string_view kCompoundFile = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1";
constexpr std::string_view kOdfKind = "application/vnd.oasis.opendocument.";
// The name of the stream that holds a locked XLSX, in the UTF-16 of compound files.
constexpr std::string_view kEncryptedPackage = "E\0n\0c\0r\0y\0p\0t\0e\0d\0P\0a\0c\0k\0a\0g\0e\0"sv;

Problem other_file(const std::string& file, const std::string& found) {
  return {{file, {}, 0, {}},
          found,
          "a table: delimited text (CSV), XLSX or ODS",
          "open it in the program that made it and save the table as XLSX, ODS or CSV"};
}

Problem compound_file(std::string_view bytes, const std::string& file) {
  if (bytes.find(kEncryptedPackage) != std::string_view::npos) return encrypted_workbook(file);
  return other_file(file, "a file of an old office format (such as XLS)");
}

Result<Done> read_odf(ZipPackage& package, const std::string& file, SheetBuilder& builder) {
  if (package.has("mimetype")) {
    const Result<std::string> kind = package.read("mimetype");
    if (!kind) return kind.problem();
    if (!kind->starts_with(std::string(kOdfKind) + "spreadsheet"))
      return other_file(file, "an office document that is not a spreadsheet");
  }
  return read_ods(package, file, builder);
}

Result<Done> read_package(ZipPackage& package, const std::string& file, SheetBuilder& builder) {
  if (package.has("_rels/.rels")) return read_xlsx(package, file, builder);
  if (package.has("content.xml")) return read_odf(package, file, builder);
  return other_file(file, "a zip archive that is not a workbook");
}

}  // namespace

bool is_workbook(std::string_view bytes) {
  return bytes.starts_with(kZip) || bytes.starts_with("PK\x05\x06") || bytes.starts_with(kCompoundFile);
}

Result<std::vector<Grid>> read_workbook(std::string_view bytes, const std::string& file) {
  if (bytes.starts_with(kCompoundFile)) return compound_file(bytes, file);
  Result<ZipPackage> package = ZipPackage::open(bytes, file);
  if (!package) return package.problem();
  SheetBuilder builder(file);
  const Result<Done> read = read_package(*package, file, builder);
  if (builder.refusal() != SheetRefusal::none) return describe_refusal(builder.refusal(), file);
  if (!read) return read.problem();
  std::vector<Grid> grids = builder.take();
  if (builder.refusal() != SheetRefusal::none) return describe_refusal(builder.refusal(), file);
  for (const Grid& grid : grids)
    if (grid.rows() > 0) return grids;
  return Problem{{file, {}, 0, {}},
                 "nothing in the workbook",
                 "a table with a heading row",
                 "look whether the table was saved, then export it again"};
}

}  // namespace strandbook
