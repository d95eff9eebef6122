#pragma once
// Which corrections stand, and what they make of the facts they name.

#include <map>
#include <set>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/book/record.hpp"

namespace strandbook {

struct HeldCorrection {
  Uuid id;
  Correction correction;
};

/// What became of a fact. With neither set it stands as it was recorded.
struct Fate {
  bool withdrawn = false;
  const HeldCorrection* by = nullptr;  ///< the correction that decides; valid as long as the Corrections
};

/// The latest correction of a fact decides, unless it was itself withdrawn. Only corrections reach a
/// correction.
class Corrections {
 public:
  /// Takes a fact of kind correction; one that is known already is passed over. Facts come in order of time.
  Result<Done> add(const Fact& fact);
  Fate fate_of(const Uuid& fact) const;
  /// The corrections that name this fact, earliest first.
  std::vector<Uuid> naming(const Uuid& fact) const;
  /// The fact that a chain of corrections starts from.
  Uuid root_of(const Uuid& fact) const;

 private:
  Fate fate_at_depth(const Uuid& fact, int depth) const;
  std::map<Uuid, std::vector<HeldCorrection>> by_target_;
  std::map<Uuid, Uuid> target_of_;
};

}  // namespace strandbook
