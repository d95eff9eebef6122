#include "edge/report/pdf_links.hpp"

// qpdf 11: smart pointers are std::shared_ptr throughout.
#define POINTERHOLDER_TRANSITION 4

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstdio>
#include <exception>
#include <memory>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFPageDocumentHelper.hh>
#include <qpdf/QPDFWriter.hh>
#include <utility>

#include "edge/report/draft_file.hpp"

namespace strandbook {
namespace {

struct CloseFile {
  void operator()(std::FILE* file) const { (void)std::fclose(file); }
};

/// A file as memory: qpdf seeks for each object, which costs more than reading the pages.
class MappedFile {
 public:
  static Result<MappedFile> open(const std::string& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    struct stat status {};
    if (file < 0 || fstat(file, &status) != 0 || status.st_size == 0) {
      if (file >= 0) close(file);
      return cannot_write(path, "the draft cannot be read back");
    }
    const auto size = static_cast<std::size_t>(status.st_size);
    void* start = mmap(nullptr, size, PROT_READ, MAP_PRIVATE, file, 0);
    close(file);
    if (start == MAP_FAILED) return cannot_write(path, "the draft cannot be read back");
    return MappedFile(start, size);
  }
  MappedFile(MappedFile&& other) noexcept
      : start_(std::exchange(other.start_, nullptr)), size_(other.size_) {}
  MappedFile& operator=(MappedFile&&) = delete;
  ~MappedFile() {
    if (start_ != nullptr) munmap(start_, size_);
  }
  const char* start() const { return static_cast<const char*>(start_); }
  std::size_t size() const { return size_; }

 private:
  MappedFile(void* start, std::size_t size) : start_(start), size_(size) {}
  void* start_;
  std::size_t size_;
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
    const auto bytes = MappedFile::open(plain);
    if (!bytes) return bytes.problem();
    QPDF document;
    document.setSuppressWarnings(true);
    document.processMemoryFile("report", bytes->start(), bytes->size());
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
