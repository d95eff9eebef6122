#include "edge/report/pdf_links.hpp"

// qpdf 11: smart pointers are std::shared_ptr throughout.
#define POINTERHOLDER_TRANSITION 4

#include <cstdio>
#include <exception>
#include <memory>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFPageDocumentHelper.hh>
#include <qpdf/QPDFWriter.hh>
#include <utility>

#include "edge/report/draft_file.hpp"
#include "edge/report/mapped_file.hpp"

namespace strandbook {
namespace {

struct CloseFile {
  void operator()(std::FILE* file) const { (void)std::fclose(file); }
};

QPDFObjectHandle number(double value) { return QPDFObjectHandle::newReal(value, 2); }

QPDFObjectHandle annotation(const PageLink& link, QPDFObjectHandle target, double height) {
  QPDFObjectHandle rectangle = QPDFObjectHandle::newArray();
  rectangle.appendItem(number(link.area.x));
  rectangle.appendItem(number(height - link.area.y - link.area.height));
  rectangle.appendItem(number(link.area.x + link.area.width));
  rectangle.appendItem(number(height - link.area.y));
  QPDFObjectHandle destination = QPDFObjectHandle::newArray();
  destination.appendItem(std::move(target));
  destination.appendItem(QPDFObjectHandle::newName("/XYZ"));
  destination.appendItem(QPDFObjectHandle::newNull());
  destination.appendItem(number(height - static_cast<double>(link.target.y) + 12));
  destination.appendItem(QPDFObjectHandle::newNull());
  QPDFObjectHandle made = QPDFObjectHandle::newDictionary();
  made.replaceKey("/Type", QPDFObjectHandle::newName("/Annot"));
  made.replaceKey("/Subtype", QPDFObjectHandle::newName("/Link"));
  made.replaceKey("/Rect", rectangle);
  made.replaceKey("/Border", QPDFObjectHandle::parse("[0 0 0]"));
  made.replaceKey("/Dest", destination);
  return made;
}

void add_all(QPDF& document, const Trail& trail, double height) {
  const std::vector<QPDFObjectHandle>& pages = document.getAllPages();
  for (std::size_t i = 0; i < trail.links.size();) {
    const std::uint32_t page = trail.links[i].page;
    QPDFObjectHandle annotations = QPDFObjectHandle::newArray();
    for (; i < trail.links.size() && trail.links[i].page == page; ++i)
      annotations.appendItem(document.makeIndirectObject(
          annotation(trail.links[i], pages.at(trail.links[i].target.page), height)));
    QPDFObjectHandle(pages.at(page)).replaceKey("/Annots", annotations);
  }
}

void write(QPDF& document, std::FILE* file, const char* name) {
  QPDFWriter writer(document);
  writer.setOutputFile(name, file, false);
  writer.setStreamDataMode(qpdf_s_preserve);
  writer.setDeterministicID(true);
  writer.write();
}

}  // namespace

Result<Done> add_links(const std::string& plain, const std::string& linked, const Trail& trail,
                       double page_height) {
  try {
    // From memory: qpdf seeks for each object, which costs more than reading the pages.
    const auto file_read = MappedFile::open(plain);
    if (!file_read) return file_read.problem();
    const auto bytes = file_read->bytes();
    QPDF document;
    document.setSuppressWarnings(true);
    document.processMemoryFile("report", reinterpret_cast<const char*>(bytes.data()), bytes.size());
    add_all(document, trail, page_height);
    std::unique_ptr<std::FILE, CloseFile> file(std::fopen(linked.c_str(), "wb"));
    if (file == nullptr) return cannot_write(linked, "the draft cannot be opened");
    write(document, file.get(), linked.c_str());
    if (std::fclose(file.release()) != 0) return cannot_write(linked, "the disk may be full");
    return Done{};
  } catch (const std::exception& error) {
    return cannot_write(linked, error.what());
  }
}

}  // namespace strandbook
