#pragma once
// A PDF from pages that a caller draws: file, description, outline and links around them.

#include <cairo.h>

#include <functional>
#include <string>

#include "edge/report/pdf_links.hpp"
#include "edge/report/typesetter.hpp"

namespace strandbook {

Sheet sheet_of(Paper paper);

/// What goes around the pages.
struct PdfSetup {
  Sheet sheet;
  PdfIdentity identity;
};

/// Draws onto the surface and tells what stands where. A trail without pages: the work was cancelled.
using DrawPages = std::function<Trail(Typesetter& typesetter, cairo_surface_t* surface)>;

/// `path` holds the whole document or what it held before. Pages go to the disk as they are drawn.
Result<Done> write_pdf(const std::string& path, const PdfSetup& setup, const DrawPages& draw);

}  // namespace strandbook
