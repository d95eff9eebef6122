#pragma once
// Will this link carry the application, although it is no link of the standard's table? What the link model
// says.

#include <optional>
#include <string>
#include <vector>

#include "domain/applications/link_margin.hpp"
#include "domain/applications/link_model_table.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

struct EngineerQuestion {
  std::string application;  ///< "10GBASE-SR"
  std::string fibre;        ///< "OM3", or a name of the model's fibre such as "50/400"
  Metres length;            ///< above 0, at most 200 km
  Decibels connections;     ///< of all connections and splices together, 0 to 60 dB
  // The cable's and the transmitter's own figures, in place of the standard's.
  std::optional<double>
      attenuation_db_per_km;  ///< at the wavelength the model states it for (850, 1310, 1550 nm)
  std::optional<double>
      modal_bandwidth_mhz_km;          ///< effective, at the application's wavelength; multimode only
  std::optional<double> rms_width_nm;  ///< spectral width of the transmitter, RMS, at most
};

/// A loss limit, parted into what the fibre takes and what is left for connections.
struct LossSplit {
  Metres length;
  Decibels fibre;
  Decibels connections;
};

struct EngineeredLink {
  EngineerQuestion question;
  LinkModelRow row;  ///< with the own figures in place
  bool carries = false;
  LinkModelResult result;
  std::optional<Metres> reach;     ///< with these connections; none where no length has a margin
  std::optional<LossSplit> here;   ///< the most that this length may lose; none where even 0 dB is too much
  LossSplit of_the_standard;       ///< its loss limit at its length
  std::vector<std::string> notes;  ///< what the answer rests on
  std::vector<LinkCurvePoint>
      curve;  ///< margin against length, evenly spaced from 0 to beyond length and reach
};

/// A Problem where the application has no place in the model, says why and what to use instead.
Result<EngineeredLink> engineer_link(const LinkModelTable& table, const EngineerQuestion& question);
/// The same with the shipped inputs.
Result<EngineeredLink> engineer_link(const EngineerQuestion& question);

/// As `engineer --json` prints it; what is infinite is null.
std::string engineered_link_json(const EngineeredLink& link);

}  // namespace strandbook
