#pragma once
// Units as types. A level (dBm) is not a ratio (dB): two levels subtract to a ratio, but never add.

#include <cmath>
#include <compare>

namespace strandbook {

struct Decibels {
  double value = 0;  ///< dB, a ratio; loss is positive
  constexpr auto operator<=>(const Decibels&) const = default;
};
struct PowerDbm {
  double value = 0;  ///< dB above one milliwatt, a level
  constexpr auto operator<=>(const PowerDbm&) const = default;
};
struct Milliwatts {
  double value = 0;  ///< mW, 0 or more
  constexpr auto operator<=>(const Milliwatts&) const = default;
};
struct Nanometres {
  double value = 0;  ///< vacuum wavelength, nm
  constexpr auto operator<=>(const Nanometres&) const = default;
};
struct Micrometres {
  double value = 0;  ///< size on an end face, µm
  constexpr auto operator<=>(const Micrometres&) const = default;
};
struct Metres {
  double value = 0;  ///< length along the fibre, m
  constexpr auto operator<=>(const Metres&) const = default;
};
struct DecibelsPerKilometre {
  double value = 0;  ///< attenuation coefficient, dB/km
  constexpr auto operator<=>(const DecibelsPerKilometre&) const = default;
};

constexpr Decibels operator+(Decibels a, Decibels b) { return {a.value + b.value}; }
constexpr Decibels operator-(Decibels a, Decibels b) { return {a.value - b.value}; }
constexpr Decibels operator-(Decibels a) { return {-a.value}; }
constexpr Decibels operator*(double n, Decibels a) { return {n * a.value}; }
constexpr Decibels operator/(Decibels a, double n) { return {a.value / n}; }
constexpr double operator/(Decibels a, Decibels b) { return a.value / b.value; }
constexpr Decibels& operator+=(Decibels& a, Decibels b) { return a = a + b; }

constexpr Decibels operator-(PowerDbm a, PowerDbm b) { return {a.value - b.value}; }
constexpr PowerDbm operator+(PowerDbm a, Decibels b) { return {a.value + b.value}; }
constexpr PowerDbm operator-(PowerDbm a, Decibels b) { return {a.value - b.value}; }

constexpr Metres operator+(Metres a, Metres b) { return {a.value + b.value}; }
constexpr Metres operator-(Metres a, Metres b) { return {a.value - b.value}; }
constexpr Decibels operator*(DecibelsPerKilometre a, Metres length) {
  return {a.value * length.value / 1000};
}
constexpr Decibels operator*(Metres length, DecibelsPerKilometre a) { return a * length; }

/// Level of a power: 10·log10(P / 1 mW). Needs P > 0; no light has no level.
inline PowerDbm to_dbm(Milliwatts power) { return {10 * std::log10(power.value)}; }
/// Power of a level: 10^(level/10) mW.
inline Milliwatts to_milliwatts(PowerDbm level) { return {std::pow(10, level.value / 10)}; }

/// 1 ft = 0.3048 m exactly (International yard and pound agreement, 1959).
constexpr Metres from_feet(double feet) { return {feet * 0.3048}; }

/// a ≤ b for decimal readings held in binary: both are brought to the nearest 1e-9 dB first, ten million
/// times finer than any meter shows, so that −20.10 − (−21.95) is exactly 1.85 and "at the limit" is within
/// it. Needs |a|, |b| < 1e9 dB.
inline bool at_most(Decibels a, Decibels b) {
  return std::llround(a.value * 1e9) <= std::llround(b.value * 1e9);
}

}  // namespace strandbook
