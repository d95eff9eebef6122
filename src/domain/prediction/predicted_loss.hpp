#pragma once
// The loss that a test will read, before the link is built: what its parts usually lose, with their spread.

#include <string>
#include <vector>

#include "domain/prediction/components.hpp"
#include "domain/readings/uncertainty.hpp"
#include "domain/rulebook/limit.hpp"
#include "domain/statistics/pearson_three.hpp"

namespace strandbook {

/// What loss and limit of a test depend on.
struct LinkDesign {
  LimitQuestion question;
  const RuleSet* rule = nullptr;          ///< null where only a fixed limit applies
  std::optional<Decibels> fixed;          ///< goes before the rule's limit
  std::optional<std::string> grade = {};  ///< of its connections; empty = as the statistics have it
  bool operator==(const LinkDesign&) const = default;
};

/// One line of the sum. The fibre's count is its length in km; joins of the reference count less than 0.
struct PredictedPart {
  std::string term;  ///< as LimitTerm names it: "fibre", "end connections", ..., and "reading"
  double count = 0;
  Decibels each;  ///< mean of one; dB/km for the fibre
  Decibels mean;
  Decibels deviation;  ///< of the whole line
  RuleRef source;
};

struct PredictedLoss {
  std::vector<PredictedPart> parts;
  Cumulants own;         ///< dB: joints, splices and what belongs to the one reading
  Decibels shared;       ///< standard deviation of what tests share: make of the fibre, reference, test cords
  Cumulants total;       ///< both together
  Decibels uncertainty;  ///< u of the reading (k = 1), a part of the above
  std::vector<std::string> notes;
};

/// Fails where fibre, length or connections are not stated, or the statistics have no number for a part.
Result<PredictedLoss> predict_loss(const LinkDesign& design, const ComponentStatistics& parts,
                                   const UncertaintyModel& uncertainty);

/// The grade of the design's connections; null where the statistics do not have it.
const AttenuationGrade* grade_of(const LinkDesign& design, const ComponentStatistics& parts);

/// The design's limit. Where no reference method is known, as for one cord.
Result<Limit> limit_of(const LinkDesign& design);

}  // namespace strandbook
