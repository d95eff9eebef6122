#pragma once
// Cords checked: a set of measured matings against the grade they are sold or bought by.

#include <string>
#include <vector>

#include "domain/applications/connector_grade.hpp"
#include "edge/exchange/array_json.hpp"

namespace strandbook {

struct CordWork {
  std::vector<Mating> matings;
  AttenuationGrade grade;
  std::optional<ReturnLossGrade> return_loss;
  CordsJudgement judged;
  Leftovers left;
};

/// `return_loss`: a grade of return loss, or empty. Fails where a grade is not known.
Result<CordWork> check_cords(const std::string& path, const std::string& grade,
                             const std::string& return_loss);

bool all_hold(const CordWork& work);

}  // namespace strandbook
