#pragma once
// End faces inspected: what was seen against what may be seen, beside the losses of their links.

#include <string>
#include <vector>

#include "domain/applications/end_face_check.hpp"
#include "edge/exchange/array_json.hpp"

namespace strandbook {

/// What the person settles for faces whose records do not.
struct InspectionQuestion {
  std::optional<EndFaceKind> kind;
  std::vector<OwnZoneLimit> own;
  std::optional<Decibels> loss_limit;
};

struct InspectionWork {
  std::vector<JudgedEnds> links;
  std::vector<ZoneRing> rings;
  Leftovers left;
  std::vector<std::string> cautions;  ///< to be read before a connector is looked at
};

/// `losses`: a table of losses by link, or empty.
Result<InspectionWork> inspect_end_faces(const std::string& inspections, const std::string& losses,
                                         const InspectionQuestion& question);

bool all_hold(const InspectionWork& work);

}  // namespace strandbook
