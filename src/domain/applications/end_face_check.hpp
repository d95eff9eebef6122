#pragma once
// End faces beside the losses of their links. One required item that fails fails the link.

#include <optional>
#include <string>
#include <vector>

#include "domain/applications/array_check.hpp"
#include "domain/applications/end_face.hpp"

namespace strandbook {

struct JudgedFace {
  InspectedFace face;
  FaceJudgement judged;
};
struct JudgedEnds {
  std::string link;
  Outcome outcome = Outcome::not_tested;  ///< the worst of loss and faces
  std::optional<LossJudgement> loss;      ///< where losses were brought
  std::vector<JudgedFace> faces;          ///< none: nobody inspected this link
  std::vector<std::string> reasons;       ///< what follows for the link
};

struct EndFaceSettings {
  std::optional<EndFaceKind> kind;  ///< of faces whose record does not say
  std::vector<OwnZoneLimit> own;
  std::optional<Decibels> loss_limit;
  Decibels gain_allowance;
};

/// Links in the order of the inspections, then those that only have a loss. `losses` null: none were brought.
std::vector<JudgedEnds> judge_ends(std::vector<InspectedFace> faces, const std::vector<MeasuredArray>* losses,
                                   const EndFaceLimits& limits, const EndFaceSettings& settings);

}  // namespace strandbook
