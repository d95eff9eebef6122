#pragma once
// Zip packages and workbooks written by hand, so that tests can say exactly what a file holds. Tests only.

#include <zlib.h>

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace strandbook {

using PackageParts = std::vector<std::pair<std::string, std::string>>;

inline void append_u16(std::string& bytes, std::size_t value) {
  bytes += static_cast<char>(value & 0xFFU);
  bytes += static_cast<char>((value >> 8U) & 0xFFU);
}
inline void append_u32(std::string& bytes, std::size_t value) {
  append_u16(bytes, value & 0xFFFFU);
  append_u16(bytes, value >> 16U);
}

/// A zip archive of stored (not packed) parts. SOURCE: ISO/IEC 21320-1 and the zip layout it profiles.
inline std::string zip_of(const PackageParts& parts) {
  std::string bytes;
  std::string directory;
  for (const auto& [name, content] : parts) {
    const std::size_t offset = bytes.size();
    const auto crc =
        crc32(0, reinterpret_cast<const Bytef*>(content.data()), static_cast<uInt>(content.size()));
    std::string sizes;
    append_u32(sizes, crc);
    append_u32(sizes, content.size());
    append_u32(sizes, content.size());
    append_u16(sizes, name.size());
    append_u16(sizes, 0);
    bytes.append("PK\x03\x04\x14\0\0\0\0\0\0\0\0\0", 14).append(sizes).append(name).append(content);
    directory.append("PK\x01\x02\x14\0\x14\0\0\0\0\0\0\0\0\0", 16).append(sizes).append(10, '\0');
    append_u32(directory, offset);
    directory += name;
  }
  const std::size_t start = bytes.size();
  bytes += directory + std::string("PK\x05\x06\0\0\0\0", 8);
  append_u16(bytes, parts.size());
  append_u16(bytes, parts.size());
  append_u32(bytes, directory.size());
  append_u32(bytes, start);
  append_u16(bytes, 0);
  return bytes;
}

/// The parts of an XLSX with one sheet "S" whose cells are given; cell style 1 is a date.
inline PackageParts xlsx_parts(const std::string& sheet_data, const std::string& workbook_properties = {}) {
  const std::string types = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
  const std::string main = " xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"";
  const std::string packages =
      "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">";
  const auto relationship = [&](const std::string& id, const std::string& kind, const std::string& target) {
    return "<Relationship Id=\"" + id + "\" Type=\"" + types + "/" + kind + "\" Target=\"" + target + "\"/>";
  };
  return {
      {"_rels/.rels",
       packages + relationship("r1", "officeDocument", "xl/workbook.xml") + "</Relationships>"},
      {"xl/workbook.xml", "<workbook" + main + " xmlns:r=\"" + types + "\">" + workbook_properties +
                              "<sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>"},
      {"xl/_rels/workbook.xml.rels", packages + relationship("r1", "worksheet", "/xl/worksheets/sheet1.xml") +
                                         relationship("r2", "styles", "styles.xml") +
                                         relationship("r3", "sharedStrings", "sharedStrings.xml") +
                                         "</Relationships>"},
      {"xl/styles.xml", "<styleSheet" + main +
                            "><cellStyleXfs><xf numFmtId=\"9\"/></cellStyleXfs><cellXfs><xf numFmtId=\"0\"/>"
                            "<xf numFmtId=\"14\"/></cellXfs></styleSheet>"},
      {"xl/sharedStrings.xml", "<sst" + main +
                                   "><si><t>plain</t></si><si><r><t>ri</t></r><r><t>ch</t></r>"
                                   "<rPh sb=\"0\" eb=\"1\"><t>aid</t></rPh></si></sst>"},
      {"xl/worksheets/sheet1.xml", "<worksheet" + main + ">" + sheet_data + "</worksheet>"}};
}

/// An ODS package with one sheet "S" that holds the given rows.
inline PackageParts ods_parts(const std::string& rows) {
  const std::string spaces =
      " xmlns:o=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\""
      " xmlns:s=\"urn:oasis:names:tc:opendocument:xmlns:style:1.0\""
      " xmlns:t=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\""
      " xmlns:x=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\""
      " xmlns:n=\"urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0\"";
  const std::string styles =
      "<o:automatic-styles><n:number-style s:name=\"N3\"><n:number "
      "n:min-integer-digits=\"3\"/></n:number-style>"
      "<n:number-style s:name=\"NF\"><n:text>F-</n:text><n:number "
      "n:min-integer-digits=\"3\"/></n:number-style>"
      "<s:style s:name=\"three\" s:family=\"table-cell\" s:data-style-name=\"N3\"/>"
      "<s:style s:name=\"child\" s:family=\"table-cell\" s:parent-style-name=\"three\"/>"
      "<s:style s:name=\"prefixed\" s:family=\"table-cell\" s:data-style-name=\"NF\"/></o:automatic-styles>";
  return {{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"},
          {"content.xml", "<o:document-content" + spaces + ">" + styles +
                              "<o:body><o:spreadsheet><t:table t:name=\"S\">" + rows +
                              "</t:table></o:spreadsheet></o:body></o:document-content>"}};
}

}  // namespace strandbook
