#pragma once
// A passive optical network port by port: what each should lose, how it stands beside its siblings, and which
// classes it serves.

#include <string>
#include <vector>

#include "domain/applications/passive_tree.hpp"
#include "edge/exchange/array_json.hpp"
#include "workflow/know_applications.hpp"

namespace strandbook {

struct TreeQuestion {
  const RuleSet* rule = nullptr;
  ReferenceMethod method = ReferenceMethod::one_cord;
  std::optional<PowerDbm> launched;       ///< at the head end, where levels were read instead of losses
  std::vector<std::string> applications;  ///< classes wanted; empty = every one that the tables hold
  Decibels expanded_uncertainty;          ///< of a loss, k = 2
  GuardBand guard = GuardBand::none;
};

/// One port at one wavelength.
struct TreeReading {
  std::uint32_t port = 0;  ///< index into TreeCheck::ports
  Nanometres wavelength;
  Decibels loss;
  Decibels least;  ///< what the splitters alone must take
  std::optional<Limit> limit;
  std::string limit_problem;
  Outcome outcome = Outcome::invalid;
  std::optional<Decibels> beyond_median;
  bool stands_out = false;
  bool impossible = false;  ///< less than the splitters must take
};

struct TreeAnswer {
  std::uint32_t port = 0;
  std::uint32_t row = 0;
  CarryOutcome outcome;
};

struct TreeCheck {
  std::vector<TreePort> ports;
  std::vector<TreeReading> readings;
  std::vector<TreeAnswer> answers;
  Leftovers left;
};

/// A table with a row per port (and wavelength). Columns: port, splitter, ratio ("1:32", "1:4+1:8"), length
/// or feeder and drop, connections, splices, fibre, and loss or received level at a wavelength.
Result<TreeCheck> check_tree(const std::string& path, const TreeQuestion& question,
                             const SplitterPractice& practice, const KnownApplications& known);

/// Outputs of each splitter of "1:4 + 1x8" or "32"; nothing where it is none.
std::optional<std::vector<int>> parse_ratio(std::string_view text);

bool all_hold(const TreeCheck& check);

}  // namespace strandbook
