#include "domain/applications/end_face_check.hpp"

#include <algorithm>

#include "domain/verdict/assessment.hpp"

namespace strandbook {
namespace {

JudgedEnds& ends_of(std::vector<JudgedEnds>& all, const std::string& link) {
  const std::string key = name_key(link);
  const auto at = std::find_if(all.begin(), all.end(),
                               [&key](const JudgedEnds& each) { return name_key(each.link) == key; });
  if (at != all.end()) return *at;
  all.push_back({link, Outcome::not_tested, {}, {}, {}});
  return all.back();
}

Outcome worst_face(const JudgedEnds& ends) {
  if (ends.faces.empty()) return Outcome::not_tested;
  Outcome worst = Outcome::pass;
  for (const JudgedFace& each : ends.faces) worst = worse(worst, each.judged.outcome);
  return worst;
}

void decide(JudgedEnds& ends) {
  const Outcome faces = worst_face(ends);
  ends.outcome = ends.loss ? worse(faces, ends.loss->outcome) : faces;
  if (ends.faces.empty()) ends.reasons.emplace_back("No end face of it was inspected.");
  if (faces == Outcome::fail)
    ends.reasons.emplace_back(ends.loss && ends.loss->outcome == Outcome::pass
                                  ? "The loss passes and the end face does not: hold the link until the "
                                    "face is put right and inspected again."
                                  : "Hold the link until the face is put right and inspected again.");
}

}  // namespace

std::vector<JudgedEnds> judge_ends(std::vector<InspectedFace> faces, const std::vector<MeasuredArray>* losses,
                                   const EndFaceLimits& limits, const EndFaceSettings& settings) {
  std::vector<JudgedEnds> all;
  for (InspectedFace& face : faces) {
    if (!face.kind) face.kind = settings.kind;
    FaceJudgement judged = judge_face(face, limits, settings.own);
    JudgedEnds& ends = ends_of(all, face.link.empty() ? face.face : face.link);
    ends.faces.push_back({std::move(face), std::move(judged)});
  }
  if (losses != nullptr) {
    for (JudgedEnds& ends : all) ends.loss = judge_losses(nullptr, {}, settings.gain_allowance);
    for (const MeasuredArray& measured : *losses) {
      const MeasuredArray limited = with_limits(measured, settings.loss_limit);
      ends_of(all, measured.name).loss = judge_losses(&limited, {}, settings.gain_allowance);
    }
  }
  for (JudgedEnds& ends : all) decide(ends);
  return all;
}

}  // namespace strandbook
