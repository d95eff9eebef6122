#pragma once
// A passive optical network from its head end to one port: fibre, connections, splices and splitters. What
// the port should lose, and how it stands beside the other ports of its splitter.

#include <optional>
#include <string>
#include <vector>

#include "domain/rulebook/limit.hpp"
#include "domain/verdict/outcome.hpp"

namespace strandbook {

/// What a splitter with `outputs` outputs may lose from input to any output, its own pigtails' joints aside.
struct SplitterRow {
  int outputs = 2;
  Decibels value;
  RuleRef source;
};

struct SplitterPractice {
  std::vector<SplitterRow> rows;  ///< at most one per number of outputs
  /// Largest difference between ports of one splitter before one of them is looked at first.
  Decibels spread_allowed;
  RuleRef spread_source;
};

/// Loss of a lossless splitter that shares its light evenly: 10·log10(outputs). Definition of the decibel.
Decibels ideal_splitter_loss(int outputs);

struct TreePort {
  std::string name;
  std::string splitter;        ///< ports with the same are compared; may be empty
  std::vector<int> splitters;  ///< outputs of each splitter on the way, from the head end on
  std::optional<FibreCategory> fibre;
  Plant plant = Plant::unstated;
  std::optional<Metres> length;  ///< feeder and drop together
  int connections = 0;
  int splices = 0;
  Place at;
};

/// The largest loss of the port's path at a wavelength: the rule's limit for fibre, connections and splices,
/// and a term for each splitter. A Problem where the rule or the splitter table has no number.
Result<Limit> limit_of(const TreePort& port, const RuleSet& rule, const SplitterPractice& practice,
                       Nanometres wavelength, ReferenceMethod method);

/// What the path cannot lose less than: splitters that share evenly and lose nothing else.
Decibels least_loss_of(const TreePort& port);

/// Ports of one splitter beside each other, at one wavelength.
struct SiblingView {
  std::vector<std::optional<Decibels>> beyond_median;  ///< per port: (loss − limit) − median of the same
  std::vector<bool> stands_out;                        ///< beyond by more than the spread allowed
};
/// `over_limit`: measured loss minus limit of each port, empty where not read. With fewer than three read
/// ports none can stand out.
SiblingView beside_siblings(const std::vector<std::optional<Decibels>>& over_limit,
                            const SplitterPractice& practice);

}  // namespace strandbook
