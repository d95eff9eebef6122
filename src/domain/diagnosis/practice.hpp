#pragma once
// What a job is expected to look like while nothing is wrong: typical values, never limits.

#include <optional>
#include <string>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

struct TypicalAttenuation {
  std::vector<FibreCategory> fibres;
  Nanometres wavelength;
  DecibelsPerKilometre typical;
  DecibelsPerKilometre deviation;  ///< standard deviation between makes
  DecibelsPerKilometre least;      ///< no fibre of the kind loses less
  RuleRef source = {};
};

struct TypicalPart {
  Decibels typical;
  Decibels deviation;  ///< how far the mean of a job's parts may lie from it, k = 1
};

/// Standard deviations of a job in which nothing is wrong.
struct UsualSpread {
  Decibels repeat;            ///< one reading repeated
  Decibels strand;            ///< between strands of one cable
  Decibels cable;             ///< between cables of a kind, lengths apart
  Decibels wavelength;        ///< of longer less shorter wavelength between strands, fibre apart
  Decibels wavelength_level;  ///< of the same, common to a job
  double skewness = 0;        ///< of the loss between strands
};

/// Smaller effects are not spoken of, however sure they are.
struct LeastEffects {
  Decibels bend;
  Decibels direction;
  Decibels unlike;
  Decibels exchange;        ///< least difference of the wavelengths at which an exchange shows
  double length_share = 0;  ///< of the scheduled length
  Metres length;
  double strand_seconds = 0;  ///< least time from strand to strand
};

/// One line of the decision table: a cause of a kind of finding, how often it is the one, and the action that
/// settles it with the minutes it takes.
struct CauseRow {
  std::string kind;
  std::string cause;
  double share = 0;  ///< 0 to 1; those of a kind sum to 1
  std::string action;
  double minutes = 1;
};

struct DiagnosisPractice {
  double false_alarm_rate = 0.001;       ///< per kind of finding and job, while nothing is wrong
  double reference_alarm_rate = 0.005;   ///< the same for a wrong reference, which spoils all under it
  double false_alarm_readings = 1e6;     ///< average run length of the charts, likewise
  double calibration_warning_days = 14;  ///< before a certificate ends, while tests are still to be made
  Decibels least_offset;
  std::vector<TypicalAttenuation> attenuation;
  TypicalPart connection;
  TypicalPart splice;
  UsualSpread spread;
  LeastEffects least;
  std::vector<CauseRow> causes;
};

/// Of a fibre at a wavelength; null where the table has none.
const TypicalAttenuation* typical_at(const DiagnosisPractice& practice, std::optional<FibreCategory> fibre,
                                     Nanometres wavelength);

}  // namespace strandbook
