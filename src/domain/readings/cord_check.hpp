#pragma once
// The check of a test cord before work: one more connection between two cords, read both ways round.

#include <string>

#include "domain/link/instant.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

struct CordCheck {
  std::string cords;  ///< as they are marked
  Nanometres wavelength;
  Decibels forward;   ///< loss of the inserted connection
  Decibels reversed;  ///< with the second cord turned round
  Decibels allowed;
  std::string person;
  Instant time;
};

/// Work may start where neither way round exceeds what is allowed.
inline bool holds(const CordCheck& check) {
  return at_most(check.forward, check.allowed) && at_most(check.reversed, check.allowed);
}

}  // namespace strandbook
