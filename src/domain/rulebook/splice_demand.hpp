#pragma once
// What an owner allows of a splice: it depends on what was measured, how, and at which try.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/sourced.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// What the limit is of. The loss of a connector with its splice leaves out the mating.
enum class SpliceJoint { splice, pigtail_splice, connector_with_splice };
enum class SpliceMethod { fusion, mechanical };
/// A trace from one side may show a gain or too great a loss where two fibres differ; the mean of both does
/// not.
enum class SpliceMeasure { one_way, two_way_mean };
enum class SpliceCount { each, span_mean };
/// When in the life of a cable it is tested.
enum class BuildStage { factory, on_arrival, while_building, after_laying, final_acceptance };
/// Do the fibres on both sides have the same mode field?
enum class ModeFields { matched, mismatched };

std::string_view text_of(SpliceJoint joint);    // "splice", "pigtail splice", "connector with its splice"
std::string_view text_of(SpliceMethod method);  // "fusion", "mechanical"
std::optional<SpliceMethod> parse_splice_method(std::string_view text);
std::string_view text_of(SpliceMeasure measure);  // "one way", "two-way mean"
std::string_view text_of(SpliceCount count);      // "each", "mean of the span"
std::string_view text_of(BuildStage stage);       // "factory", "arrival", "building", "after laying", "final"

/// After this many attempts a greater loss is let stand, at a price.
struct RelaxedSplice {
  int attempts = 0;  ///< 1 to 20
  Sourced<Decibels> limit;
  std::string consequence;  ///< "listed as out of specification"
};

struct SpliceDemand {
  SpliceJoint joint = SpliceJoint::splice;
  std::optional<SpliceMethod> method;    ///< empty = either
  std::optional<FibreMode> mode;         ///< empty = either
  std::optional<Nanometres> wavelength;  ///< empty = every
  std::optional<SpliceMeasure> measure;  ///< empty: the owner does not say
  SpliceCount count = SpliceCount::each;
  std::optional<BuildStage> stage;              ///< empty = whenever it is tested
  Sourced<Decibels> limit;                      ///< dB
  std::optional<Sourced<Decibels>> nominal;     ///< what a usual splice should have
  std::optional<Sourced<Decibels>> mismatched;  ///< where the mode fields differ
  std::optional<RelaxedSplice> relaxed;
};

/// One splice as it was measured. `attempts` made so far, this one included: 1 and up.
struct SpliceQuestion {
  SpliceJoint joint = SpliceJoint::splice;
  SpliceCount count = SpliceCount::each;
  SpliceMethod method = SpliceMethod::fusion;
  FibreMode mode = FibreMode::single_mode;
  Nanometres wavelength;
  SpliceMeasure measure = SpliceMeasure::two_way_mean;
  BuildStage stage = BuildStage::final_acceptance;
  ModeFields fields = ModeFields::matched;
  int attempts = 1;
};

struct SpliceLimit {
  Sourced<Decibels> limit;
  /// Set only where the attempts suffice: a loss above `limit` and within this stands, with its consequence.
  std::optional<RelaxedSplice> relaxed;
};

/// The wavelength that these demands name for a laser of this one, which may be 25 nm off (common practice);
/// its own where they name none near it.
Nanometres demanded_wavelength(const std::vector<SpliceDemand>& demands, Nanometres laser);

/// The demand that names most of what is asked; of equals the first. Nothing where none holds: a limit of
/// the two-way mean says nothing of a reading from one side.
std::optional<SpliceLimit> splice_limit(const std::vector<SpliceDemand>& demands,
                                        const SpliceQuestion& question);

}  // namespace strandbook
