#include "edge/report/pdf_description.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

std::string escaped(std::string_view text) {
  std::string out;
  for (const char letter : legible(text)) {
    switch (letter) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      default:
        out += letter;
    }
  }
  return out;
}

std::string big_endian(std::uint32_t value, int bytes) {
  std::string text;
  for (int at = bytes - 1; at >= 0; --at) text += static_cast<char>(value >> (8 * at) & 0xFFu);
  return text;
}

std::string number32(std::uint32_t value) { return big_endian(value, 4); }

/// s15Fixed16Number.
std::string fixed(double value) {
  return number32(static_cast<std::uint32_t>(static_cast<std::int32_t>(std::lround(value * 65536))));
}

std::string xyz(std::array<double, 3> values) {
  return std::string("XYZ ") + number32(0) + fixed(values[0]) + fixed(values[1]) + fixed(values[2]);
}

std::string transfer_curve() {
  constexpr int points = 1024;
  std::string curve = std::string("curv") + number32(0) + number32(points);
  for (int i = 0; i < points; ++i) {
    const double coded = i / (points - 1.0);
    const double linear = coded <= 0.04045 ? coded / 12.92 : std::pow((coded + 0.055) / 1.055, 2.4);
    curve += big_endian(static_cast<std::uint32_t>(std::lround(linear * 65535)), 2);
  }
  return curve;
}

/// textDescriptionType: the text, no other script.
std::string description(std::string_view text) {
  const auto length = static_cast<std::uint32_t>(text.size() + 1);
  return std::string("desc") + number32(0) + number32(length) + std::string(text) + '\0' +
         std::string(78, '\0');
}

std::string padded(std::string tag) {
  while (tag.size() % 4 != 0) tag += '\0';
  return tag;
}

std::string made_profile() {
  struct Tag {
    const char* name;
    std::string data;
  };
  const std::array<Tag, 9> tags{{{"desc", description("sRGB IEC61966-2.1")},
                                 {"cprt", std::string("text") + number32(0) + "none claimed" + '\0'},
                                 {"wtpt", xyz({0.95045, 1, 1.08905})},
                                 {"rXYZ", xyz({0.43607, 0.22249, 0.01392})},
                                 {"gXYZ", xyz({0.38515, 0.71687, 0.09708})},
                                 {"bXYZ", xyz({0.14307, 0.06061, 0.71410})},
                                 {"rTRC", transfer_curve()},
                                 {"gTRC", {}},
                                 {"bTRC", {}}}};
  constexpr std::uint32_t header = 128;
  const auto count = static_cast<std::uint32_t>(tags.size());
  std::string table = number32(count);
  std::string data;
  std::string place;
  for (const Tag& tag : tags) {
    // The three curves are one.
    if (!tag.data.empty()) {
      const std::uint32_t at = header + 4 + 12 * count + static_cast<std::uint32_t>(data.size());
      place = number32(at) + number32(static_cast<std::uint32_t>(tag.data.size()));
      data += padded(tag.data);
    }
    table += tag.name + place;
  }
  const auto size = static_cast<std::uint32_t>(header + table.size() + data.size());
  std::string head = number32(size) + number32(0) + number32(0x02100000) + "mntrRGB XYZ ";
  for (const std::uint32_t part : {2026u, 1u, 1u, 0u, 0u, 0u}) head += big_endian(part, 2);
  head += "acsp" + number32(0) + number32(0) + number32(0) + number32(0) + number32(0) + number32(0) +
          number32(0);
  head += fixed(0.9642) + fixed(1) + fixed(0.8249);
  head.resize(header, '\0');
  return head + table + data;
}

}  // namespace

std::string xmp_of(const PdfIdentity& identity, const std::string& producer) {
  Instant moment = identity.created;
  moment.dated = moment.timed = moment.zoned = true;
  const std::string author =
      identity.author.empty()
          ? std::string{}
          : fmt::format("<dc:creator><rdf:Seq><rdf:li>{}</rdf:li></rdf:Seq></dc:creator>\n",
                        escaped(identity.author));
  return fmt::format(
      "<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
      "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF "
      "xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n"
      "<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" "
      "xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\" "
      "xmlns:pdfaid=\"http://www.aiim.org/pdfa/ns/id/\">\n"
      "<pdfaid:part>2</pdfaid:part>\n<pdfaid:conformance>B</pdfaid:conformance>\n"
      "<dc:format>application/pdf</dc:format>\n"
      "<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:title>\n{}"
      "<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:description>\n"
      "<dc:language><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:language>\n"
      "<xmp:CreatorTool>strandbook</xmp:CreatorTool>\n<xmp:CreateDate>{}</xmp:CreateDate>\n<pdf:Producer>{}</"
      "pdf:Producer>\n"
      "</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>",
      escaped(identity.title), author, escaped(identity.subject), escaped(identity.language),
      iso_text(moment), escaped(producer));
}

const std::string& srgb_profile() {
  static const std::string profile = made_profile();
  return profile;
}

}  // namespace strandbook
