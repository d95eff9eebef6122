#pragma once
// Both directions of one strand together: the loss of a splice that does not depend on where one looks from.

#include <optional>
#include <string>
#include <vector>

#include "domain/rulebook/splice_demand.hpp"
#include "domain/traces/trace_link.hpp"

namespace strandbook {

/// One event of the link by what each side shows. Positions from A.
struct TwoWayEvent {
  EventKind kind = EventKind::loss;
  Metres position;
  std::optional<Measured> from_a;
  std::optional<Measured> from_b;
  /// (from A + from B) / 2 (ITU-T G.650.3, appendix I.3; the scattering of the two fibres drops out).
  std::optional<Measured> mean;
  /// (from A − from B) / 2: what unlike mode fields or scattering add on one side and take on the other.
  std::optional<Measured> scatter;
  /// Where only one side shows it: the mean lies between these, as the unseen side is within what it can see.
  std::optional<Decibels> mean_least;
  std::optional<Decibels> mean_most;
  std::string explanation;  ///< of a gain or of a great difference, in words

  bool one_side_only() const { return from_a.has_value() != from_b.has_value(); }
  /// The best there is: the mean, else what the one side shows.
  const std::optional<Measured>& shown() const { return mean ? mean : from_a ? from_a : from_b; }
};

struct TwoWayQuestion {
  Metres length;      ///< of the link, the same from both sides
  Metres gate;        ///< events this near are one: the longer pulse and two samples, at least
  Decibels unseen_a;  ///< smallest event that the trace from A would have shown
  Decibels unseen_b;
};

/// Pairs the events after mapping those from B to length − z; each is used once, the nearest first. Events
/// that only one side shows stay, with bounds instead of a mean.
std::vector<TwoWayEvent> pair_directions(const std::vector<LinkEvent>& from_a,
                                         const std::vector<LinkEvent>& from_b,
                                         const TwoWayQuestion& question);

enum class SpliceVerdict { within, relaxed, beyond, open };
std::string_view text_of(SpliceVerdict verdict);  // "within", "within the relaxed limit", "beyond", "open"

/// One splice against the owner's demand.
struct JudgedSplice {
  SpliceVerdict verdict = SpliceVerdict::open;
  int attempts = 1;  ///< made so far
  std::optional<SpliceLimit> limit;
  bool one_direction_only = false;
  std::string reason;
  bool made_again = false;  ///< after it was traced: what was measured is no longer there
};

/// `question` names the joint and its circumstances; its measure is set from what the event holds. A reading
/// from one side is never held against a limit of the mean unless its bounds decide.
JudgedSplice judge_splice(const TwoWayEvent& event, const std::vector<SpliceDemand>& demands,
                          SpliceQuestion question);

/// An event that loses far more at the longer wavelength: a bend. Standard uncertainties of both count.
bool looks_bent(const Measured& shorter, const Measured& longer);

struct BendQuestion {
  Metres gate;      ///< events this near are one
  Decibels unseen;  ///< smallest event that the shorter wavelength would have shown
};

/// Marks the bends among the steps of the longer wavelength; single-mode fibre only.
void mark_bends(const std::vector<TwoWayEvent>& shorter, const BendQuestion& question,
                std::vector<TwoWayEvent>& longer);

}  // namespace strandbook
