#include "trace_sets.hpp"

#include <algorithm>
#include <cmath>

namespace forward {
namespace {

double from_db(double db) { return std::pow(10, db / 10); }

struct Class {
  bool multimode;
  double wavelength, alpha_low, alpha_high, b_low, b_high, index_low, index_high, step_sd, dynamic_offset;
};

Class draw_class(bool multimode, Dice& dice) {
  if (multimode)
    return dice.chance(0.5) ? Class{true, 850, 2.2, 3.3, -69, -66, 1.480, 1.496, 0.05, 0}
                            : Class{true, 1300, 0.5, 1.2, -76, -73, 1.475, 1.491, 0.05, 0};
  return dice.chance(0.5) ? Class{false, 1310, 0.32, 0.38, -81, -78, 1.4655, 1.4690, 0.06, 0}
                          : Class{false, 1550, 0.18, 0.25, -83.5, -80.5, 1.4655, 1.4690, 0.06, -2};
}

struct Pulse {
  double ns, step_low, step_high, f_low, f_high, d_low, d_high;
};

// Facts of usual instruments: pulse, sample step, bandwidth, dynamic range of 30 s.
constexpr Pulse pulses[] = {{5, .06, .13, 80e6, 100e6, 10, 13},   {10, .06, .25, 35e6, 50e6, 13, 16},
                            {30, .12, .5, 12e6, 16.5e6, 16, 19},  {100, .25, 1, 3.6e6, 5e6, 19, 22},
                            {300, .5, 2, 1.2e6, 1.65e6, 22, 26},  {1000, 1, 5, .35e6, .5e6, 26, 31},
                            {10000, 4, 16, .036e6, .05e6, 35, 40}};

Instrument draw_instrument(const Class& c, const Pulse& p, Dice& dice) {
  Instrument in;
  in.wavelength_nm = c.wavelength;
  in.pulse_ns = p.ns;
  in.step_m = dice.log_uniform(p.step_low, p.step_high);
  in.bandwidth_hz = dice.log_uniform(p.f_low, p.f_high);
  in.dynamic_range_db = dice.uniform(p.d_low, p.d_high) + c.dynamic_offset + (c.multimode ? 2 : 0);
  in.saturation_db = dice.uniform(9, 15);
  in.recovery_ns = 0.3 * p.ns + 30;
  in.rise_share = dice.uniform(0.05, 0.2);
  in.fading = dice.log_uniform(0.001, 0.006);
  in.tail_share[0] = dice.log_uniform(1e-5, 1e-3);
  in.tail_ns[0] = p.ns * dice.uniform(3, 6);
  in.tail_share[1] = dice.log_uniform(1e-6, 1e-4);
  in.tail_ns[1] = dice.log_uniform(100, 1000);
  in.baseline_sd = dice.uniform(-0.3, 0.3);
  in.clip_mode = dice.below(3);
  return in;
}

Fibre draw_fibre(const Class& c, double length, double alpha, double b, Dice& dice) {
  return {length, alpha * (1 + 0.01 * dice.normal()), b + 2 * c.step_sd * dice.normal(),
          c.multimode ? 0 : 0.01 * dice.normal()};
}

Joint connector(const Class& c, Dice& dice) {
  Joint j;
  j.kind = Kind::connector;
  j.loss_db = dice.chance(0.1) ? dice.uniform(0.8, 2) : dice.log_uniform(0.05, 0.7);
  const double r = c.multimode        ? dice.uniform(-45, -22)
                   : dice.chance(0.3) ? dice.uniform(-72, -58)
                                      : dice.uniform(-58, -38);
  j.reflectance = from_db(dice.chance(0.05) ? dice.uniform(-30, -18) : r);
  return j;
}

Joint splice(Dice& dice) {
  Joint j;
  j.kind = Kind::splice;
  j.loss_db = dice.chance(0.4) ? dice.uniform(0.15, 0.6) : dice.uniform(0.01, 0.12);
  if (dice.chance(0.1)) j.reflectance = from_db(dice.uniform(-60, -40));
  return j;
}

Joint end_joint(Dice& dice) {
  Joint j;
  j.kind = Kind::end;
  j.loss_db = 60;
  j.reflectance = dice.chance(0.8) ? from_db(dice.uniform(-45, -14.5)) : from_db(-75);
  return j;
}

void add(Case& out, const Fibre& fibre, const Joint& joint) {
  out.link.fibres.push_back(fibre);
  out.link.joints.push_back(joint);
}

void finish(Case& out, double more, Dice& dice) {
  double length = 0;
  for (const Fibre& f : out.link.fibres) length += f.length_m;
  out.backscatter_db = out.link.fibres[0].backscatter_db;
  out.instrument.range_m =
      std::min(length * more + 40 * out.instrument.pulse_ns * 0.1, 65000 * out.instrument.step_m);
  out.link.panel_reflectance = from_db(dice.uniform(-45, -30));
}

// Cord, link of `spans` metres with joints between, cord, end.
Case draw_plant(const Class& c, const Pulse& p, double length, double cord, int joints, bool clusters,
                Dice& dice) {
  Case out;
  out.link.index = dice.uniform(c.index_low, c.index_high);
  out.instrument = draw_instrument(c, p, dice);
  const double alpha = dice.uniform(c.alpha_low, c.alpha_high);
  const double b = dice.uniform(c.b_low, c.b_high);
  const double cord_alpha = alpha * (1 + 0.01 * dice.normal());
  add(out, {cord, cord_alpha, b, 0}, connector(c, dice));
  out.launch_m = cord;
  double left = length;
  for (int i = 0; i < joints; ++i) {
    const double part = left * dice.uniform(0.6, 1.4) / (joints - i + 1);
    const double cord_length = c.multimode ? dice.log_uniform(0.5, 10) : dice.log_uniform(1, 30);
    // No more cord than there is link left.
    if (clusters && dice.chance(0.25) && part + 2 * cord_length < left) {
      add(out, draw_fibre(c, part, alpha, b, dice), connector(c, dice));
      add(out, draw_fibre(c, cord_length, alpha, b, dice), connector(c, dice));
      left -= part + cord_length;
      continue;
    }
    add(out, draw_fibre(c, part, alpha, b, dice),
        dice.chance(clusters ? 0.6 : 0.15) ? connector(c, dice) : splice(dice));
    left -= part;
  }
  add(out, draw_fibre(c, left, alpha, b, dice), connector(c, dice));
  add(out, {cord * dice.uniform(0.9, 1.1), cord_alpha, b, 0}, end_joint(dice));
  out.receive_m = out.link.fibres.back().length_m;
  finish(out, 1.35, dice);
  return out;
}

}  // namespace

Case draw_case(char set, Dice& dice) {
  const Class single = draw_class(false, dice);
  switch (set) {
    case 'P':
    case 'F': {
      const Class c = draw_class(dice.chance(0.5), dice);
      return draw_plant(c, pulses[dice.below(2)], dice.log_uniform(30, 500), dice.uniform(50, 150),
                        dice.below(3), true, dice);
    }
    case 'C': {
      const Class c = draw_class(dice.chance(0.3), dice);
      return draw_plant(c, pulses[2 + dice.below(2)], dice.log_uniform(500, 5000), dice.uniform(150, 500),
                        1 + dice.below(5), false, dice);
    }
    case 'O': {
      const int pulse = 4 + dice.below(2);
      const double length = pulse == 4 ? dice.uniform(5000, 25000) : dice.uniform(10000, 60000);
      return draw_plant(single, pulses[pulse], length, dice.uniform(500, 1000), 2 + dice.below(8), false,
                        dice);
    }
    case 'N': {
      Case out;
      out.link.index = dice.uniform(single.index_low, single.index_high);
      const int pulse = 2 + dice.below(4);
      out.instrument = draw_instrument(single, pulses[pulse], dice);
      const double lengths[] = {3000, 8000, 20000, 40000};
      add(out,
          {lengths[pulse - 2] * dice.uniform(0.7, 1.3), dice.uniform(single.alpha_low, single.alpha_high),
           dice.uniform(single.b_low, single.b_high), 0.01 * dice.normal()},
          end_joint(dice));
      out.instrument.wander_sd = dice.chance(0.3) ? dice.uniform(0.1, 0.3) : 0;
      finish(out, 1.35, dice);
      return out;
    }
    case 'B': {
      Case out = draw_plant(single, pulses[3 + dice.below(2)], dice.uniform(3000, 15000),
                            dice.uniform(400, 800), 3, false, dice);
      for (std::size_t i = 1; i + 1 < out.link.fibres.size(); ++i)
        out.link.fibres[i].backscatter_db += 2 * dice.uniform(-0.3, 0.3);
      out.link.fibres.back().backscatter_db = out.link.fibres.front().backscatter_db;
      return out;
    }
    case 'W': {
      Class c = single;
      c.wavelength = 1310;
      c.alpha_low = 0.32;
      c.alpha_high = 0.38;
      Case out = draw_plant(c, pulses[2 + dice.below(2)], dice.log_uniform(800, 5000), dice.uniform(150, 500),
                            3, false, dice);
      const std::size_t bend =
          1 + static_cast<std::size_t>(dice.below(static_cast<int>(out.link.joints.size()) - 3));
      out.link.joints[bend] = {Kind::bend, dice.uniform(0.02, 0.2), 0};
      return out;
    }
    case 'G': {
      Case out;
      out.link.index = dice.uniform(single.index_low, single.index_high);
      out.instrument = draw_instrument(single, pulses[2], dice);
      out.instrument.saturation_db = 25;
      const double alpha = dice.uniform(single.alpha_low, single.alpha_high);
      const double b = dice.uniform(single.b_low, single.b_high);
      Joint strong{Kind::connector, dice.uniform(0.2, 0.5), from_db(dice.uniform(-26, -16))};
      add(out, {dice.uniform(100, 300), alpha, b, 0}, strong);
      strong.reflectance = from_db(dice.uniform(-26, -16));
      add(out, {dice.uniform(100, 400), alpha, b, 0}, strong);
      add(out, {dice.uniform(1000, 2500), alpha, b, 0}, end_joint(dice));
      finish(out, 1.5, dice);
      out.link.panel_reflectance = from_db(dice.uniform(-35, -25));
      return out;
    }
    case 'S':
    default: {
      Case out = draw_plant(single, pulses[1 + dice.below(3)], dice.log_uniform(800, 3000),
                            dice.uniform(200, 500), 2, false, dice);
      out.instrument.saturation_db = dice.uniform(2, 6);
      out.instrument.tail_share[0] = dice.log_uniform(1e-3, 1e-2);
      out.instrument.tail_share[1] = dice.log_uniform(1e-5, 1e-3);
      out.instrument.tail_ns[0] = out.instrument.pulse_ns * dice.uniform(3, 10);
      for (Joint& joint : out.link.joints)
        if (joint.kind == Kind::connector) joint.reflectance = from_db(dice.uniform(-45, -20));
      return out;
    }
  }
}

Case at_longer_wavelength(const Case& one, Dice& dice) {
  Case out = one;
  out.instrument.wavelength_nm = 1550;
  out.instrument.dynamic_range_db -= 2;
  const double factor = dice.uniform(3, 12);
  for (Fibre& f : out.link.fibres) {
    f.alpha_db_km *= 0.58;
    f.backscatter_db -= 2.5;
  }
  out.backscatter_db -= 2.5;
  for (Joint& j : out.link.joints)
    if (j.kind == Kind::bend) j.loss_db *= factor;
  return out;
}

}  // namespace forward
