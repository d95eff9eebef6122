#pragma once
// A limit question with everything settled that the schedule may leave open, and a note on each such choice.

#include <optional>
#include <string>
#include <vector>

#include "domain/rulebook/limit.hpp"

namespace strandbook {

struct SettledQuestion {
  FibreCategory fibre;
  FibreMode mode;
  Plant plant;
  Metres length;
  int connections;
  int splices;
  Nanometres wavelength;
  std::optional<ReferenceMethod> method;  ///< empty where neither question nor rule names one
  std::optional<CordGrade> cords;
  Configuration configuration;
  std::vector<std::string> notes;
};

/// Needs fibre, length and connections to be stated.
SettledQuestion settle(const RuleSet& rule, const LimitQuestion& question);

}  // namespace strandbook
