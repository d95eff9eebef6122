#pragma once
// What a trace says about the fibre: events and the sections between them, each number with its uncertainty.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/traces/trace.hpp"

namespace strandbook {

enum class EventKind {
  reflective,  ///< a peak: a connection, a mechanical splice
  loss,        ///< a step down without a peak: a fusion splice or a bend
  gain,        ///< a step up: more scattering in the fibre behind
  bend,        ///< loses far more at the longer wavelength
  cluster,     ///< several within one pulse: only their sum is firm
  end_of_fibre,
  ghost,  ///< an echo; no place on the fibre
};

std::string_view text_of(
    EventKind kind);  // "reflective", "loss", "gain", "bend", "cluster", "end of fibre", "ghost"

/// A value with its standard uncertainty, in the same unit.
struct Measured {
  double value = 0;
  double standard_uncertainty = 0;
};

/// Which samples a number rests on: [first, last).
struct SampleRange {
  std::size_t first = 0;
  std::size_t last = 0;
};

struct TraceEvent {
  EventKind kind = EventKind::loss;
  Metres position;                 ///< of its start, from the front panel
  Metres position_uncertainty;     ///< standard
  Metres until;                    ///< where the straight trace begins again
  std::optional<Measured> loss;    ///< dB, one way; negative is a gain; empty where it cannot be measured
  std::optional<Decibels> height;  ///< of the peak over the backscatter before it
  std::optional<Decibels> reflectance;  ///< dB, negative
  bool saturated = false;               ///< reflectance is at least this
  std::vector<Metres> parts;            ///< of a cluster: where its members begin
  std::string echo;                     ///< of a ghost: which path explains it
  SampleRange before;                   ///< samples of the line before it
  SampleRange after;                    ///< and behind it
};

/// Fibre between two events.
struct TraceSection {
  Metres from;
  Metres to;
  std::optional<Measured> attenuation;  ///< dB/km from this section alone; empty where it cannot be told
  Measured loss;                        ///< dB from `from` to `to`, by the slope that was used
  Decibels detectable;  ///< smallest step in its middle that would have been seen 19 times in 20
  SampleRange samples;
};

enum class EndState {
  found,
  beyond_noise,  ///< the backscatter sinks into the noise before any end is seen
  beyond_range,  ///< the trace stops while there is still fibre
};

struct TraceAnalysis {
  std::vector<TraceEvent> events;  ///< by position; ghosts among them
  std::vector<TraceSection> sections;
  EndState end = EndState::beyond_range;
  Metres length;        ///< to the end of the fibre, or as far as it can be seen
  double noise_db = 0;  ///< of one sample at the start, dB
  std::optional<Decibels>
      dynamic_range;           ///< first backscatter to rms noise, one way; empty where no noise is seen
  DecibelsPerKilometre slope;  ///< that most of the fibre has
  std::optional<Measured> return_loss;  ///< dB, of all from the first event after the panel to the end
  bool return_loss_is_bound = false;    ///< a saturated peak: the return loss is at most this
  std::vector<std::string> notes;
};

/// Finds what a trace holds. Pure; linear in the number of samples but for a short list of candidates.
/// `trace` needs 16 samples and a pulse width above 0; with fewer the analysis is empty and says so.
TraceAnalysis analyse(const Trace& trace);

}  // namespace strandbook
