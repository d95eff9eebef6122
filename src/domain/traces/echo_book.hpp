#pragma once
// Which paths light can take between the reflections of a trace, and where and how strong it comes home.

#include <optional>
#include <string>
#include <vector>

#include "domain/traces/trace.hpp"

namespace strandbook {

/// A peak as an echo is asked of it.
struct SeenPeak {
  double at_m = 0;
  double until_m = 0;        ///< where the straight trace begins again
  double level_db = 0;       ///< of the backscatter before it, one way, relative to the first
  double height_db = 0;      ///< over that
  bool full = false;         ///< the receiver was full: it may be higher
  double most_loss_db = 0;   ///< what may be lost across it
  double least_loss_db = 0;  ///< what surely is
};

/// The reflections seen so far, the panel among them.
class EchoBook {
 public:
  /// `pulse_m` as the trace shows it; the panel's reflectance where it is known.
  EchoBook(const Trace& trace, double pulse_m, std::optional<double> panel_db);

  /// The path that explains a peak of this height without a step; empty where none does.
  std::string explain(const SeenPeak& peak) const;
  /// The path that ends here, whatever its height.
  std::string path_to(Metres position) const;
  /// A reflection of the fibre. Of more than forty the weakest are forgotten.
  void add(const SeenPeak& peak);

 private:
  struct Mirror {
    double at_m = 0;
    double least_db = 0;  ///< reflectance; of a full peak it may be anything from its height to bare glass
    double most_db = 0;
    double level_db = 0;  ///< of the backscatter there, one way
    double unsure_m = 0;  ///< of its place: a full receiver shows only the foot of its edge
    double hides_m = 0;   ///< so far behind it another may stand that is not seen
    std::string name;
  };
  struct Path {
    double at_m = 0;
    double least_db = 0;  ///< of the echo, one way, as a trace shows it, relative to the first backscatter
    double most_db = 0;
    double unsure_m = 0;
    double early_m = 0;  ///< by so much it may stand before `at_m` where a mirror is one that is hidden
    double late_m = 0;   ///< likewise behind it
    std::size_t back = 0, out = 0, third = 0;  ///< mirrors: from `out` back to `back`, out to `third`
  };
  template <class Wanted>
  std::optional<Path> find_path(const Wanted& wanted) const;
  std::string words_of(const Path& path) const;

  double unit_db_;  ///< what a reflectance is held against: backscatter of one pulse
  double pulse_m_;
  double gate_m_;
  std::vector<Mirror> mirrors_;
};

}  // namespace strandbook
