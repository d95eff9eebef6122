#pragma once
// What a PDF carries for readers and archives beside its pages.

#include <string>

#include "edge/report/pdf_links.hpp"

namespace strandbook {

/// The description as XMP (ISO 16684-1). It says the same as the information dictionary and claims PDF/A-2b
/// (ISO 19005-2, 6.6.4; from memory). `producer`: who wrote the pages.
std::string xmp_of(const PdfIdentity& identity, const std::string& producer);

/// An ICC profile (version 2.1) of sRGB.
/// SOURCE: IEC 61966-2-1 primaries, adapted to D50 (ICC.1:2001-04, annex A); transfer curve of its
/// clause 5.2.
const std::string& srgb_profile();

}  // namespace strandbook
