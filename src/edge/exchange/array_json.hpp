#pragma once
// Arrays, cords and end faces as JSON: docs/arrays.schema.json.

#include <string>
#include <vector>

#include "domain/applications/array_check.hpp"
#include "domain/applications/connector_grade.hpp"
#include "domain/applications/end_face_check.hpp"
#include "domain/diagnosis/finding.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// Rows that could not be used, and how the files were understood.
struct Leftovers {
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};

std::string arrays_json(const ArrayCheck& check, const Leftovers& left);
std::string cords_json(const std::vector<Mating>& matings, const CordsJudgement& judged,
                       const AttenuationGrade& grade, const ReturnLossGrade* return_loss,
                       const Leftovers& left);
std::string end_faces_json(const std::vector<JudgedEnds>& ends, const Leftovers& left);

}  // namespace strandbook
