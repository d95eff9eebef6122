#pragma once
// A cabling rule set as data: everything needed for the loss limit of a strand at a wavelength.

#include <optional>
#include <string>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// Largest attenuation coefficient of cabled fibre.
struct AttenuationRow {
  FibreCategory fibre;
  Plant plant = Plant::unstated;  ///< unstated = any plant
  Nanometres wavelength;
  DecibelsPerKilometre value;
  RuleRef source;
};

enum class ConnectionPlace { end, embedded };

/// Largest loss of one mated pair. End connections are those between a test cord and the cabling.
struct ConnectionRow {
  FibreMode mode;
  ConnectionPlace place = ConnectionPlace::embedded;
  std::optional<CordGrade> cords;  ///< empty = whatever the cords' grade
  Decibels value;
  RuleRef source;
};

/// Largest loss of one splice.
struct SpliceRow {
  FibreMode mode;
  Decibels value;
  RuleRef source;
};

/// Loss of two test-cord plugs mated to each other, held once in a two-cord and twice in a three-cord
/// reference, and so missing from the reading.
struct ReferenceJoinRow {
  FibreMode mode;
  std::optional<CordGrade> cords;
  Decibels value;
  RuleRef source;
};

/// A term that does not depend on length or counts: headroom, an owner's allowance, a channel's other parts.
struct FixedTermRow {
  std::string name;
  Decibels value;
  RuleRef source;
};

/// Spread of the parts, for budgets of the form mean + k·σ. Variances in dB².
struct StatisticalBudget {
  double connection_variance = 0;
  double splice_variance = 0;
  double system_variance = 0;
  double coverage = 3;
  RuleRef source;
};

/// What must be tested.
struct DemandRow {
  FibreMode mode;
  std::vector<Nanometres> wavelengths;
  DirectionDemand directions = DirectionDemand::either;
  RuleRef source;
};

/// Another wavelength a reading may carry for a nominal one ("1310 on multimode is read as 1300"), by rule
/// only.
struct WavelengthAlias {
  FibreMode mode;
  Nanometres found;
  Nanometres counts_as;
  RuleRef source;
};

struct LengthCeilingRow {
  FibreMode mode;
  Metres value;
  RuleRef source;
};

/// Which configuration is meant when the schedule does not say, by reference method.
struct ConfigurationDefault {
  ReferenceMethod method;
  Configuration configuration;
  RuleRef source;
};

struct RuleSet {
  std::string id;  ///< "iso-14763-3-2024" or "own:NAME"
  std::string title;
  std::string document;
  std::string edition;
  std::string note;
  std::vector<AttenuationRow> attenuation;
  std::vector<ConnectionRow> connections;
  std::vector<SpliceRow> splices;
  std::vector<ReferenceJoinRow> reference_joins;
  std::vector<FixedTermRow> fixed_terms;
  std::optional<StatisticalBudget> statistical;
  std::vector<DemandRow> demands;
  std::vector<WavelengthAlias> aliases;
  std::vector<LengthCeilingRow> length_ceilings;
  std::vector<ConfigurationDefault> configuration_defaults;
  /// A whole-link limit that replaces the sum (an owner's number), per wavelength; 0 nm = every wavelength.
  struct WholeLinkLimit {
    Nanometres wavelength;
    std::optional<FibreMode> mode;
    Decibels value;
    RuleRef source;
  };
  std::vector<WholeLinkLimit> whole_link_limits;
  /// Only own rules may set it: the method taken where schedule and readings name none.
  std::optional<ReferenceMethod> reference_method_when_unstated;
};

using Rulebook = std::vector<RuleSet>;

const RuleSet* find_rule(const Rulebook& rulebook, std::string_view id);

}  // namespace strandbook
