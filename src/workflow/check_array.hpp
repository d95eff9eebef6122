#pragma once
// Arrays checked: traces against the maps wanted, losses against limits, lengths against a skew.

#include <optional>
#include <string>
#include <vector>

#include "domain/applications/array_check.hpp"
#include "domain/link/link.hpp"
#include "edge/exchange/array_json.hpp"

namespace strandbook {

/// Paths; empty where not given.
struct ArrayFiles {
  std::string found;
  std::string wanted;
  std::string loss;
};

/// What the person settles for arrays whose records do not.
struct ArrayQuestion {
  std::string type;
  std::optional<int> fibres;
  std::optional<Decibels> loss_limit;
  std::optional<double> skew_limit_ns;
  std::optional<FibreCategory> fibre;  ///< for the group index, with the wavelength
  std::optional<Nanometres> wavelength;
};

struct ArrayWork {
  ArrayCheck check;
  Leftovers left;
  std::vector<std::string> cautions;  ///< to be read before a connector is looked at
};

Result<ArrayWork> check_arrays(const ArrayFiles& files, const ArrayQuestion& question);

/// Every array passes and every row was used.
bool all_hold(const ArrayWork& work);

}  // namespace strandbook
