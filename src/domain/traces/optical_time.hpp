#pragma once
// Time of light in a fibre and the distance that it means. One way and round trip are different types: the
// factor of two between them is the commonest error of this trade.

namespace strandbook {

/// Speed of light in vacuum, m/s, exact (SI Brochure, 9th edition, 2.2).
inline constexpr double light_speed = 299'792'458.0;

/// Group index of a fibre; 1.3 to 1.6 for silica.
struct GroupIndex {
  double value = 1.468;
};

struct OneWaySeconds {
  double value = 0;  ///< s, from one point of the fibre to the other
};
struct RoundTripSeconds {
  double value = 0;  ///< s, there and back
};

constexpr OneWaySeconds one_way(RoundTripSeconds time) { return {time.value / 2}; }

/// Distance that light travels in a fibre of this group index: c·t/n, m (ITU-T G.650.1, 5.4.2).
constexpr double distance_m(OneWaySeconds time, GroupIndex index) {
  return light_speed * time.value / index.value;
}
constexpr double distance_m(RoundTripSeconds time, GroupIndex index) {
  return distance_m(one_way(time), index);
}

/// Length of a pulse as the trace shows it, m: c·τ/(2n), since its light goes there and back.
constexpr double shown_pulse_m(double pulse_ns, GroupIndex index) {
  return distance_m(RoundTripSeconds{pulse_ns * 1e-9}, index);
}

}  // namespace strandbook
