#include "edge/report/pdf_file.hpp"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <memory>

#include "domain/problem/progress.hpp"
#include "edge/report/draft_file.hpp"
#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

struct DropSurface {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using SurfacePtr = std::unique_ptr<cairo_surface_t, DropSurface>;

cairo_status_t put(void* file, const unsigned char* bytes, unsigned length) {
  const bool whole = std::fwrite(bytes, 1, length, static_cast<std::FILE*>(file)) == length;
  return whole ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

void set_metadata(cairo_surface_t* surface, const PdfIdentity& identity) {
  const auto set = [surface](cairo_pdf_metadata_t key, const std::string& text) {
    if (!text.empty()) cairo_pdf_surface_set_metadata(surface, key, text.c_str());
  };
  set(CAIRO_PDF_METADATA_TITLE, identity.title);
  set(CAIRO_PDF_METADATA_AUTHOR, identity.author);
  set(CAIRO_PDF_METADATA_SUBJECT, identity.subject);
  set(CAIRO_PDF_METADATA_CREATOR, "strandbook");
  // Always set: left alone, cairo takes the clock of the machine.
  Instant moment = identity.created;
  moment.dated = moment.timed = moment.zoned = true;
  set(CAIRO_PDF_METADATA_CREATE_DATE, iso_text(moment));
}

void add_outline(cairo_surface_t* surface, const Trail& trail, double height) {
  int parent = CAIRO_PDF_OUTLINE_ROOT;
  for (const OutlineEntry& entry : trail.outline) {
    const std::string place =
        fmt::format("page={} pos=[0 {:.1f}]", entry.at.page + 1,
                    std::max(0.0, std::min(height, static_cast<double>(entry.at.y) - 12)));
    const int under = entry.depth == 0 ? CAIRO_PDF_OUTLINE_ROOT : parent;
    const int made = cairo_pdf_surface_add_outline(surface, under, entry.title.c_str(), place.c_str(),
                                                   cairo_pdf_outline_flags_t{});
    if (entry.depth == 0) parent = made;
  }
}

/// Draws all pages into a file, without link areas.
Result<Trail> drawn(const PdfSetup& setup, const DrawPages& draw, const std::string& path,
                    const std::string& target) {
  Typesetter typesetter(setup.identity.language);
  FilePtr file(std::fopen(path.c_str(), "wb"));
  if (file == nullptr) return cannot_write(target, "the draft cannot be opened");
  SurfacePtr surface(
      cairo_pdf_surface_create_for_stream(put, file.get(), setup.sheet.width, setup.sheet.height));
  set_metadata(surface.get(), setup.identity);
  Trail trail = draw(typesetter, surface.get());
  if (trail.pages == 0) return cancelled(target);
  add_outline(surface.get(), trail, setup.sheet.height);
  cairo_surface_finish(surface.get());
  const cairo_status_t status = cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS) return cannot_write(target, cairo_status_to_string(status));
  const bool flushed = std::fflush(file.get()) == 0;
  if (std::fclose(file.release()) != 0 || !flushed) return cannot_write(target, "the disk may be full");
  return trail;
}

}  // namespace

Sheet sheet_of(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return {595.28, 841.89};
    case Paper::letter:
      return {612, 792};
  }
  return {};
}

Result<Done> write_pdf(const std::string& path, const PdfSetup& setup, const DrawPages& draw) {
  auto plain = DraftFile::beside(path);
  if (!plain) return plain.problem();
  auto linked = DraftFile::beside(path);
  if (!linked) return linked.problem();
  const auto trail = drawn(setup, draw, plain->path(), path);
  if (!trail) return trail.problem();
  auto added = add_links(plain->path(), linked->path(), *trail, setup.sheet.height, setup.identity);
  if (!added) return cannot_write(path, added.problem().found);
  return linked->keep();
}

}  // namespace strandbook
