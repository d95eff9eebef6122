#pragma once
// The loss limit of one strand at one wavelength, with its working.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/rule_set.hpp"

namespace strandbook {

/// What the limit depends on. Lengths 0 to 200 km; counts 0 to 1000.
struct LimitQuestion {
  std::optional<FibreCategory> fibre;
  Plant plant = Plant::unstated;
  std::optional<Metres> length;
  std::optional<int> connections;  ///< mated pairs in the path under test, end connections included
  std::optional<int> splices;
  Nanometres wavelength;
  std::optional<ReferenceMethod> method;
  std::optional<CordGrade> cords;
  std::optional<Configuration> configuration;
  bool operator==(const LimitQuestion&) const = default;
};

/// One line of the sum: count × each = total. The fibre's count is its length in kilometres.
struct LimitTerm {
  std::string
      term;  ///< "fibre", "end connections", "embedded connections", "splices", "reference joins", ...
  double count = 0;
  Decibels each;  ///< dB; dB/km for the fibre
  Decibels total;
  RuleRef source;
};

struct Limit {
  Decibels value;
  std::vector<LimitTerm> working;
  std::vector<std::string> notes;  ///< what was taken for granted, length ceilings passed, and the like
  bool method_stated = true;       ///< false where no reference method was known: no outcome may rest on it
  bool fixed = false;              ///< a whole-link number that holds whatever the reference method
};

/// The first term of this name; null where there is none.
const LimitTerm* term_named(const Limit& limit, std::string_view name);

/// Does any number of the sum await checking?
bool rests_on_memory(const Limit& limit);

/// limit(λ) = α·L + ends·c_end + embedded·c + splices·s − joins·R (+ fixed terms, + k·σ), after the rule set.
/// A Problem names the missing value ("iso-11801-1-2017 has no attenuation for OM3 at 1550 nm").
Result<Limit> limit_of(const RuleSet& rule, const LimitQuestion& question);

/// A limit the owner states for this link, with that as its only term.
Limit fixed_limit(Decibels value, const RuleRef& source);

}  // namespace strandbook
