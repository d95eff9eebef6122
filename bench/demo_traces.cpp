// Makes the traces of the demo campus by the forward model: demo-traces FOLDER. The losses are those that the
// campus's readings show; fibre, joints and the instrument are invented.

#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <string>
#include <vector>

#include "edge/traces/trace_record.hpp"
#include "trace_forward.hpp"

namespace {

using namespace forward;

constexpr double cord_m = 150;

struct Strand {
  const char* link;
  const char* strand;
  double nm;
  Link glass;  ///< from A, cords at both ends
};

double linear(double reflectance_db) { return std::pow(10, reflectance_db / 10); }

Joint connector(double loss_db, double reflectance_db) {
  return {Kind::connector, loss_db, linear(reflectance_db)};
}
Joint splice(double loss_db) { return {Kind::splice, loss_db, 0}; }
Joint bend(double loss_db) { return {Kind::bend, loss_db, 0}; }

struct Piece {
  double length_m;
  Joint joint;            ///< at its end
  double scatter_db = 0;  ///< against the cords, one-way
};

/// Launch cord with the connection at A, the pieces with the connection at B, receive cord.
Link link_of(double nm, const Joint& at_a, const std::vector<Piece>& pieces) {
  const double alpha = nm < 1400 ? 0.35 : 0.21;
  const double backscatter = nm < 1400 ? -79.6 : -81.9;
  const Joint open{Kind::end, 60, linear(-42)};
  Link link;
  link.index = nm < 1400 ? 1.4676 : 1.4682;
  link.panel_reflectance = linear(-40);
  link.fibres.push_back({cord_m, alpha, backscatter, 0});
  link.joints.push_back(at_a);
  for (const Piece& piece : pieces) {
    link.fibres.push_back({piece.length_m, alpha, backscatter + 2 * piece.scatter_db, 0});
    link.joints.push_back(piece.joint);
  }
  if (pieces.back().joint.kind == Kind::end) return link;
  link.fibres.push_back({cord_m, alpha, backscatter, 0});
  link.joints.push_back(open);
  return link;
}

std::string record_of(const Strand& strand, const char* direction, const Made& made,
                      const Instrument& instrument) {
  strandbook::TraceRecord record;
  record.general.cable = strand.link;
  record.general.fibre = strand.strand;
  record.general.fibre_type = 652;
  record.general.wavelength_nm = static_cast<std::int16_t>(strand.nm);
  record.general.from = direction[0] == 'A' ? "A" : "B";
  record.general.to = direction[1] == 'A' ? "A" : "B";
  record.general.operator_name = "K.";
  record.supplier.supplier = "demo";
  record.supplier.mainframe = "forward model";
  const double light_speed = 299792458;
  const auto points = static_cast<std::int32_t>(made.samples.size());
  const double one_way_s = instrument.step_m * strand.glass.index / light_speed;
  strandbook::FixedParameters& fixed = record.fixed;
  fixed.time_s = 1779433200;  // 22 May 2026, 07:00 UTC
  fixed.wavelength = static_cast<std::int16_t>(strand.nm * 10);
  fixed.pulses = {{static_cast<std::uint16_t>(instrument.pulse_ns),
                   static_cast<std::int32_t>(std::lround(one_way_s / 1e-14)), points}};
  fixed.group_index = static_cast<std::int32_t>(std::lround(strand.glass.index * 1e5));
  fixed.backscatter =
      static_cast<std::int16_t>(std::lround(-10 * strand.glass.fibres.front().backscatter_db));
  fixed.averages = 32768;
  fixed.averaging_time = 300;
  fixed.acquisition_range = static_cast<std::int32_t>(std::lround(one_way_s * points / 1e-10));
  record.data.groups = {{points, 1000}};
  record.data.samples = made.samples;
  return write_trace_record(record);
}

/// As crew K took them: a good strand between unlike fibres, the dirty one, the bent one, the dark one.
std::vector<Strand> strands() {
  std::vector<Strand> all;
  for (const double nm : {1310.0, 1550.0}) {
    const bool shorter = nm < 1400;
    all.push_back({"01T-03T.BB2", "01", nm,
                   link_of(nm, connector(0.30, -52),
                           {{12, splice(0.07)}, {656, splice(0.06), -0.18}, {12, connector(0.30, -50)}})});
    all.push_back(
        {"01T-02T.BB1", "17", nm,
         link_of(nm, connector(0.25, -51),
                 {{14, splice(0.05)}, {392, splice(0.04)}, {14, connector(shorter ? 2.58 : 2.39, -33)}})});
    all.push_back({"01T-03T.BB2", "22", nm,
                   link_of(nm, connector(0.22, -53),
                           {{12, splice(0.06)},
                            {429, bend(shorter ? 0.24 : 2.38)},
                            {227, splice(0.05)},
                            {12, connector(0.27, -49)}})});
  }
  return all;
}

/// Broken between A and B: each side sees its own end.
Strand broken(double nm, bool from_a) {
  const Joint open{Kind::end, 60, linear(-46)};
  if (from_a)
    return {
        "02T-05T.BB4", "09", nm,
        link_of(nm, connector(0.28, -52), {{12, splice(0.05)}, {690, connector(0.24, -50)}, {201, open}})};
  return {"02T-05T.BB4", "09", nm, link_of(nm, connector(0.31, -51), {{12, splice(0.06)}, {535, open}})};
}

void write(const std::string& folder, const Strand& strand, const char* direction, const Link& seen,
           std::uint64_t seed) {
  Instrument instrument;
  instrument.wavelength_nm = strand.nm;
  instrument.pulse_ns = 10;
  instrument.step_m = 0.25;
  instrument.bandwidth_hz = 45e6;
  instrument.dynamic_range_db = strand.nm < 1400 ? 15 : 13.5;
  instrument.saturation_db = 22;
  double length = 0;
  for (const Fibre& fibre : seen.fibres) length += fibre.length_m;
  instrument.range_m = 1.3 * length + 60;
  const std::string name = fmt::format("{}_{}_{}_{:g}", strand.link, strand.strand, direction, strand.nm);
  Dice dice(seed);
  const std::string bytes = record_of(strand, direction, make(seen, instrument, dice), instrument);
  std::ofstream(folder + "/" + name + ".rec", std::ios::binary) << bytes;
}

}  // namespace

int main(int count, char** words) {
  if (count != 2) return 2;
  std::uint64_t seed = 20260522;
  for (const Strand& strand : strands()) {
    write(words[1], strand, "AB", strand.glass, seed++);
    write(words[1], strand, "BA", reversed(strand.glass), seed++);
  }
  for (const double nm : {1310.0, 1550.0}) {
    write(words[1], broken(nm, true), "AB", broken(nm, true).glass, seed++);
    write(words[1], broken(nm, false), "BA", broken(nm, false).glass, seed++);
  }
}
