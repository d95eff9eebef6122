#pragma once
// What a PDF carries for readers and archives beside its pages.

#include <string>

#include "edge/report/pdf_links.hpp"

namespace strandbook {

/// The description as XMP (ISO 16684-1). It says the same as the information dictionary, and claims no
/// conformance that nothing has checked.
std::string xmp_of(const PdfIdentity& identity);

/// An ICC profile (version 2.1) of sRGB.
/// SOURCE: IEC 61966-2-1 primaries, adapted to D50 (ICC.1:2001-04, annex A); transfer curve of its
/// clause 5.2.
const std::string& srgb_profile();

}  // namespace strandbook
