#pragma once
// Link areas, added to a finished PDF: cairo 1.16 writes a broken cross-reference where it adds them itself.

#include <string>

#include "domain/problem/problem.hpp"
#include "edge/report/flow.hpp"

namespace strandbook {

/// What a document says of itself to readers and archives.
struct PdfIdentity {
  std::string title;
  std::string author;  ///< may be empty
  std::string subject;
  std::string language;  ///< BCP 47
  Instant created;
};

/// Copies `plain` to `linked` with the links of the trail, its language, its description as XMP (ISO 16684-1)
/// and an output intent of sRGB. `page_height` in points. The result's bytes depend on the input alone.
Result<Done> add_links(const std::string& plain, const std::string& linked, const Trail& trail,
                       double page_height, const PdfIdentity& identity);

}  // namespace strandbook
