#pragma once
// Makes backscatter traces with known truth: fibre, joints and instrument in, samples out. It shares nothing
// with the analyser that it tries. All light is linear until the last step.

#include <cstdint>
#include <vector>

namespace forward {

/// Counter-based: the same numbers on every platform for the same seed (splitmix64).
class Dice {
 public:
  explicit Dice(std::uint64_t seed);
  std::uint64_t bits();
  double uniform(double from, double to);
  double log_uniform(double from, double to);
  double normal();
  bool chance(double p) { return uniform(0, 1) < p; }
  int below(int n) { return static_cast<int>(bits() % static_cast<std::uint64_t>(n)); }

 private:
  std::uint64_t state_;
  double spare_ = 0;
  bool has_spare_ = false;
};

struct Fibre {
  double length_m = 0;
  double alpha_db_km = 0;
  double backscatter_db = -80;  ///< for 1 ns
  double drift_db_km = 0;       ///< one-way, of the scattering along the fibre
};

enum class Kind { connector, splice, bend, end };

/// At the end of fibre `i` stands joint `i`; the last is the end of the fibre.
struct Joint {
  Kind kind = Kind::splice;
  double loss_db = 0;      ///< true, one way
  double reflectance = 0;  ///< linear; 0 = none
};

struct Link {
  std::vector<Fibre> fibres;
  std::vector<Joint> joints;  ///< as many as fibres
  double panel_reflectance = 0;
  double index = 1.468;
};

Link reversed(const Link& link);

struct Instrument {
  double wavelength_nm = 1310;
  double pulse_ns = 30;
  double step_m = 0.25;
  double bandwidth_hz = 12e6;
  double dynamic_range_db = 16;  ///< one-way, to SNR = 1
  double saturation_db = 12;     ///< one-way, above the first backscatter
  double recovery_ns = 0;        ///< after clipping
  double rise_share = 0.1;       ///< of the pulse
  double fading = 0.003;         ///< relative sd, linear
  double tail_share[2] = {0, 0};
  double tail_ns[2] = {100, 1000};
  double baseline_sd = 0;  ///< in noise sd
  double wander_sd = 0;
  int clip_mode = 0;      ///< of negatives: 0 to the floor, 1 rectified, 2 a low value
  double range_m = 1000;  ///< of the samples
  double wrap_m = 0;      ///< distance of one pulse period; 0 = long enough
  bool noiseless = false;
};

struct TruthEvent {
  double at_m = 0;
  Kind kind = Kind::splice;
  double shown_loss_db = 0;  ///< what a noiseless trace from this side shows
  double true_loss_db = 0;
  double reflectance_db = 0;  ///< 0 = none
  double peak_db = 0;         ///< height over the backscatter before it
  double peak_sigmas = 0;
  double bound_db = 0;        ///< least sd of the loss, slopes free (facts of estimation: Cramér–Rao)
  double bound_known_db = 0;  ///< slopes known
  double strength = 0;        ///< |loss| / bound
  double place_bound_m = 0;  ///< least sd of the place of a step: √(density · pulse) / loss, or of a small
                             ///< one, for which that cannot be reached, 5.1 · density / loss²
  double dead_zone_m = 0;
  double noise_db = 0;  ///< of one sample here
  bool saturated = false;
};

struct Made {
  std::vector<std::uint16_t> samples;  ///< 0.001 dB below the reference
  std::vector<TruthEvent> events;      ///< joints with anything to see, the end last
  std::vector<double> ghosts_m;
  double end_m = 0;
  bool end_in_range = true;  ///< light from before the end stands out of the noise
  double pulse_m = 0;
  double return_loss_db = 0;  ///< of everything behind the panel
};

Made make(const Link& link, const Instrument& instrument, Dice& dice);

}  // namespace forward
