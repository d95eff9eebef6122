// Scores the analyser on made traces: what must be found, what must not, how far the numbers are off beside
// the least error there can be. bench-traces SEED TRACES_PER_SET [SETS] [verbose]

#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <ctime>
#include <map>
#include <string>

#include "domain/traces/trace_analysis.hpp"
#include "trace_sets.hpp"

namespace {

using namespace forward;
using strandbook::EventKind;
using strandbook::Trace;
using strandbook::TraceAnalysis;
using strandbook::TraceEvent;

Trace trace_of(const Case& one, const Made& made) {
  Trace trace;
  trace.settings.wavelength = {one.instrument.wavelength_nm};
  trace.settings.pulse_ns = one.instrument.pulse_ns;
  trace.settings.index = {one.link.index};
  trace.settings.backscatter = strandbook::Decibels{one.backscatter_db};
  trace.step = {one.instrument.step_m};
  for (const std::uint16_t sample : made.samples) trace.level_db.push_back(-1e-3 * sample);
  trace.ceiling_db = 0;
  trace.floor_db = -65.535;
  return trace;
}

struct Sum {
  double n = 0, sum = 0, square = 0;
  void add(double x) {
    n += 1;
    sum += x;
    square += x * x;
  }
  double rms() const { return n > 0 ? std::sqrt(square / n) : 0; }
  double mean() const { return n > 0 ? sum / n : 0; }
};

struct Share {
  double hits = 0, n = 0;
  void add(bool hit) {
    hits += hit ? 1 : 0;
    n += 1;
  }
  double value() const { return n > 0 ? hits / n : 1; }
};

struct Score {
  Share steps[3];  // strength 6.2-8, 8-12, above
  Share weak;      // 3-6.2: told, not scored
  Share peaks;
  double false_alarms = 0, km = 0, traces = 0, ghosts = 0, ghosts_as_events = 0;
  Share end;                       // right end
  Sum place_peaks, place_peaks_m;  // error over (0.3 sample + 0.02 pulse) target
  Sum loss_over_bound, loss_over_known, loss_db, cluster_over_bound;
  Share covered;
  Sum reflectance, return_loss, coefficient;
  Sum two_way;
  Share bends, bends_false;
  std::vector<double> milliseconds;
  std::vector<double> ratios;  // |error| of a loss over its bound
};

bool verbose = false;

// Truth events nearer together than the dead zone of the first are one thing to find.
struct Group {
  std::size_t first, last;
};

std::vector<Group> groups_of(const Made& made, double extent) {
  std::vector<Group> groups;
  for (std::size_t i = 0; i < made.events.size(); ++i) {
    const bool near =
        !groups.empty() && made.events[i].at_m - made.events[groups.back().last].at_m <
                               std::max(made.events[groups.back().last].dead_zone_m, extent) + made.pulse_m;
    if (near)
      groups.back().last = i;
    else
      groups.push_back({i, i});
  }
  return groups;
}

void score_event(const Case& one, const Made& made, const TruthEvent& truth, const TraceEvent* found,
                 Score& score, bool isolated) {
  if (found == nullptr || !isolated) return;
  const bool peak = truth.peak_db >= 0.5 && truth.peak_sigmas >= 6;
  const double error = found->position.value - truth.at_m;
  if (peak) {
    score.place_peaks.add(error / (0.3 * one.instrument.step_m + 0.02 * made.pulse_m));
    score.place_peaks_m.add(error);
    if (found->reflectance && !found->saturated && !truth.saturated)
      score.reflectance.add(found->reflectance->value - truth.reflectance_db - 0.0);
  }
  if (truth.kind == Kind::end || !found->loss || truth.bound_db > 0.5) return;
  const double off = found->loss->value - truth.shown_loss_db;
  score.loss_over_bound.add(off / truth.bound_db);
  score.loss_over_known.add(off / truth.bound_known_db);
  score.ratios.push_back(std::abs(off) / truth.bound_db);
  score.loss_db.add(off);
  score.covered.add(std::abs(off) <= 1.96 * found->loss->standard_uncertainty);
}

// What was missed, the truth beside it, and what was found within ten dead zones.
void print_missed(const Made& made, std::size_t i, const TraceAnalysis& found) {
  const TruthEvent& e = made.events[i];
  fmt::print(
      "   missed {} at {:.1f} loss {:.3f} strength {:.1f} bound {:.4f} known {:.4f} peak {:.2f} dB {:.1f} sd",
      static_cast<int>(e.kind), e.at_m, e.shown_loss_db, e.strength, e.bound_db, e.bound_known_db, e.peak_db,
      e.peak_sigmas);
  fmt::print(" pulse {:.1f} fibre from {:.1f}+{:.1f} to {:.1f}; found", made.pulse_m,
             i > 0 ? made.events[i - 1].at_m : 0, i > 0 ? made.events[i - 1].dead_zone_m : 0,
             made.events[i + 1].at_m);
  for (const TraceEvent& event : found.events)
    if (std::abs(event.position.value - e.at_m) < 10 * std::max(e.dead_zone_m, made.pulse_m))
      fmt::print(" {} {:.1f}..{:.1f}", text_of(event.kind), event.position.value, event.until.value);
  fmt::print("\n");
}

/// Where a truth may be found, in metres.
struct Gate {
  double from, to;
};

Gate gate_of(const Case& one, const Made& made, const Group& group, double extent) {
  const TruthEvent& first = made.events[group.first];
  const TruthEvent& last = made.events[group.last];
  const double least = std::max(2 * one.instrument.step_m, 0.5 * made.pulse_m);
  // What is too weak to be asked for has no place that could be told.
  const bool told = first.peak_db <= 0.5 && first.strength >= 3;
  const double wide = std::max(least, told ? 4 * first.place_bound_m : 0.0);
  const bool single = group.first == group.last;
  return {first.at_m - wide, last.at_m + std::max(wide, single ? 0.0 : extent)};
}

/// 0: has to be found; 1: may be; 2: too weak to be asked for.
int rank_of(const Made& made, const Group& group) {
  const TruthEvent& truth = made.events[group.first];
  if (group.first != group.last || truth.kind == Kind::end) return 0;
  if (truth.peak_db >= 0.5 && truth.peak_sigmas >= 6) return 0;
  return truth.strength >= 6.2 ? 0 : truth.strength >= 3 ? 1 : 2;
}

struct Matches {
  std::vector<const TraceEvent*> hits;  ///< beside the groups
  std::vector<bool> used;               ///< beside what was found
};

/// One to one, what has to be found before what is weak, then the nearest first. What else is found of a
/// cluster is its own.
Matches matches_of(const Case& one, const Made& made, const std::vector<Group>& groups, double extent,
                   const std::vector<const TraceEvent*>& open) {
  struct Pair {
    int rank;
    double apart;
    std::size_t group, found;
  };
  std::vector<Pair> pairs;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const Gate gate = gate_of(one, made, groups[g], extent);
    const double from = made.events[groups[g].first].at_m, to = made.events[groups[g].last].at_m;
    for (std::size_t i = 0; i < open.size(); ++i) {
      // A cluster tells the places of its parts.
      std::vector<strandbook::Metres> places = open[i]->parts;
      places.push_back(open[i]->position);
      double apart = 1e300;
      for (const auto [z] : places)
        if (z >= gate.from && z <= gate.to) apart = std::min(apart, std::max({0.0, from - z, z - to}));
      if (apart < 1e300) pairs.push_back({rank_of(made, groups[g]), apart, g, i});
    }
  }
  std::stable_sort(pairs.begin(), pairs.end(), [](const Pair& x, const Pair& y) {
    return x.rank != y.rank ? x.rank < y.rank : x.apart < y.apart;
  });
  Matches matches{std::vector<const TraceEvent*>(groups.size()), std::vector<bool>(open.size())};
  for (const Pair& pair : pairs) {
    if (matches.hits[pair.group] != nullptr || matches.used[pair.found]) continue;
    matches.hits[pair.group] = open[pair.found];
    matches.used[pair.found] = true;
  }
  for (const Pair& pair : pairs)
    if (groups[pair.group].first != groups[pair.group].last) matches.used[pair.found] = true;
  return matches;
}

void score_trace(const Case& one, const Made& made, const TraceAnalysis& found, Score& score) {
  const double tail_m = 299792458.0 / one.link.index / 2 / (2 * 3.14159265 * one.instrument.bandwidth_hz);
  const double extent = made.pulse_m + 3 * tail_m;
  std::vector<const TraceEvent*> open;
  for (const TraceEvent& event : found.events)
    if (event.kind != EventKind::ghost) open.push_back(&event);
  const auto groups = groups_of(made, extent);
  const double gate = std::max(2 * one.instrument.step_m, 0.5 * made.pulse_m);
  const Matches matches = matches_of(one, made, groups, extent, open);
  const TraceEvent* before = nullptr;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const TruthEvent& first = made.events[groups[g].first];
    const TruthEvent& last = made.events[groups[g].last];
    const bool single = groups[g].first == groups[g].last;
    const TraceEvent* hit = matches.hits[g];
    const bool is_end = last.kind == Kind::end;
    if (is_end && made.end_in_range) {
      const double end_gate = gate + 2 * one.instrument.step_m + (single ? 0 : last.at_m - first.at_m);
      score.end.add(found.end == strandbook::EndState::found &&
                    std::abs(found.length.value - last.at_m) <=
                        end_gate + (last.peak_sigmas > 6 ? 0 : made.pulse_m + 5 * tail_m));
      if (verbose &&
          !(found.end == strandbook::EndState::found && std::abs(found.length.value - last.at_m) <= end_gate))
        fmt::print("   end at {:.1f}, found {:.1f} state {} peak {:.1f} sat {}\n", last.at_m,
                   found.length.value, static_cast<int>(found.end), last.peak_sigmas, last.saturated);
    }
    if (is_end && !single) before = hit;
    if (is_end) continue;
    if (single) {
      const bool peak = first.peak_db >= 0.5 && first.peak_sigmas >= 6;
      if (peak && !first.saturated) score.peaks.add(hit != nullptr);
      if (!peak && first.bound_db < 0.5) {
        if (first.strength >= 12)
          score.steps[2].add(hit != nullptr);
        else if (first.strength >= 8)
          score.steps[1].add(hit != nullptr);
        else if (first.strength >= 6.2)
          score.steps[0].add(hit != nullptr);
        else if (first.strength >= 3)
          score.weak.add(hit != nullptr);
      }
      if (verbose && hit == nullptr && (peak || (first.strength >= 6.2 && first.bound_db < 0.5)))
        print_missed(made, groups[g].first, found);
      if (verbose && hit != nullptr && hit->loss && first.bound_db < 0.5 &&
          std::abs(hit->loss->value - first.shown_loss_db) >
              4 * std::min(hit->loss->standard_uncertainty, first.bound_db))
        fmt::print(
            "   loss {:.3f} +- {:.4f}, true {:.3f} bound {:.4f} at {:.1f} found {:.1f} kind {} prev {} until "
            "{:.1f}\n",
            hit->loss->value, hit->loss->standard_uncertainty, first.shown_loss_db, first.bound_db,
            first.at_m, hit->position.value, text_of(hit->kind),
            before != nullptr ? before->position.value : 0, hit->until.value);
      score_event(one, made, first, hit, score, hit != nullptr && hit->kind != EventKind::cluster);
    } else if (hit != nullptr && hit->kind == EventKind::cluster && hit->loss) {
      double shown = 0;
      for (std::size_t i = groups[g].first; i <= groups[g].last; ++i) shown += made.events[i].shown_loss_db;
      for (std::size_t i = groups[g].first; i < groups[g].last; ++i)
        shown += one.link.fibres[i + 1].alpha_db_km * (made.events[i + 1].at_m - made.events[i].at_m) * 1e-3;
      score.cluster_over_bound.add((hit->loss->value - shown) /
                                   std::max(1e-4, std::max(first.bound_known_db, last.bound_known_db)));
    }
    before = hit;
  }
  for (std::size_t i = 0; i < open.size(); ++i) {
    if (matches.used[i]) continue;
    const double z = open[i]->position.value;
    const bool ghost = std::any_of(made.ghosts_m.begin(), made.ghosts_m.end(), [&](double g) {
      return std::abs(g - z) < made.pulse_m + 3 * one.instrument.step_m;
    });
    if (ghost) {
      score.ghosts_as_events += 1;
      if (verbose)
        fmt::print("   ghost as event at {:.1f} kind {} height {:.2f} loss {:.4f} u {:.4f}\n", z,
                   text_of(open[i]->kind), open[i]->height ? open[i]->height->value : 0,
                   open[i]->loss ? open[i]->loss->value : 0,
                   open[i]->loss ? open[i]->loss->standard_uncertainty : 0);
    } else if (z < made.end_m - gate) {
      score.false_alarms += 1;
      if (verbose)
        fmt::print("   false alarm at {:.1f} of {:.1f}: {} {:.4f} +- {:.4f}\n", z, made.end_m,
                   text_of(open[i]->kind), open[i]->loss ? open[i]->loss->value : 0,
                   open[i]->loss ? open[i]->loss->standard_uncertainty : 0);
    }
  }
  for (const TraceEvent& event : found.events)
    if (event.kind == EventKind::ghost) score.ghosts += 1;
  score.km += made.end_m / 1000;
  score.traces += 1;
  bool full = false;
  for (const TruthEvent& e : made.events) full = full || e.saturated;
  if (found.return_loss && !full && found.end == strandbook::EndState::found)
    score.return_loss.add(found.return_loss->value - made.return_loss_db);
}

// One step's loss both ways: mean of what both traces show against the true loss.
void score_both_ways(const Case& one, Dice& dice, Score& score) {
  Case back = one;
  back.link = reversed(one.link);
  back.backscatter_db = back.link.fibres[0].backscatter_db;
  const Made ab = make(one.link, one.instrument, dice);
  const Made ba = make(back.link, back.instrument, dice);
  const TraceAnalysis a = analyse(trace_of(one, ab));
  const TraceAnalysis b = analyse(trace_of(back, ba));
  for (const TruthEvent& truth : ab.events) {
    if (truth.kind == Kind::end) continue;
    const auto at = [&](const TraceAnalysis& in, double z) -> const TraceEvent* {
      for (const TraceEvent& e : in.events)
        if (e.loss && e.kind != EventKind::cluster &&
            std::abs(e.position.value - z) < ab.pulse_m + 2 * one.instrument.step_m)
          return &e;
      return nullptr;
    };
    const TraceEvent* x = at(a, truth.at_m);
    const TraceEvent* y = at(b, ab.end_m - truth.at_m);
    if (x != nullptr && y != nullptr)
      score.two_way.add((x->loss->value + y->loss->value) / 2 - truth.true_loss_db);
  }
}

void analyse_case(const Case& one, Dice& dice, Score& score) {
  const Made made = make(one.link, one.instrument, dice);
  const Trace trace = trace_of(one, made);
  const std::clock_t started = std::clock();
  const TraceAnalysis found = analyse(trace);
  const double ms = 1000.0 * static_cast<double>(std::clock() - started) / CLOCKS_PER_SEC;
  if (trace.level_db.size() >= 16384)
    score.milliseconds.push_back(ms * 65536 / static_cast<double>(trace.level_db.size()));
  score_trace(one, made, found, score);
}

// Half of the errors are within 0.6745 of the bound if it is met: a figure that a few gross errors do not
// move.
double typical(std::vector<double> ratios) {
  if (ratios.empty()) return 0;
  std::sort(ratios.begin(), ratios.end());
  return ratios[ratios.size() / 2] / 0.6745;
}

void print_score(char set, Score& s) {
  std::sort(s.milliseconds.begin(), s.milliseconds.end());
  fmt::print(
      "{} steps {:.4f}/{:.4f}/{:.4f} ({:.0f}/{:.0f}/{:.0f}; weak {:.2f} of {:.0f}) peaks {:.4f} of {:.0f}  "
      "end {:.4f} of {:.0f}\n",
      set, s.steps[0].value(), s.steps[1].value(), s.steps[2].value(), s.steps[0].n, s.steps[1].n,
      s.steps[2].n, s.weak.value(), s.weak.n, s.peaks.value(), s.peaks.n, s.end.value(), s.end.n);
  fmt::print(
      "  false {:.0f} in {:.0f} km = {:.4f}/km, {:.4f} a trace; ghosts told {:.0f}, as events {:.0f}\n",
      s.false_alarms, s.km, s.false_alarms / s.km, s.false_alarms / s.traces, s.ghosts, s.ghosts_as_events);
  fmt::print(
      "  loss/bound free {:.3f} (typical {:.2f}) known {:.3f} (mean {:+.4f} rms {:.4f} dB, {:.0f}) cover "
      "{:.4f}  "
      "cluster/bound {:.2f} of {:.0f}\n",
      s.loss_over_bound.rms(), typical(s.ratios), s.loss_over_known.rms(), s.loss_db.mean(), s.loss_db.rms(),
      s.loss_db.n, s.covered.value(), s.cluster_over_bound.rms(), s.cluster_over_bound.n);
  fmt::print(
      "  place/target {:.2f} (mean {:+.3f} m rms {:.3f} m)  R {:+.2f} rms {:.2f} dB of {:.0f}  ORL {:+.2f} "
      "rms {:.2f} of {:.0f}  two-way {:+.4f} rms {:.4f} of {:.0f}\n",
      s.place_peaks.rms(), s.place_peaks_m.mean(), s.place_peaks_m.rms(), s.reflectance.mean(),
      s.reflectance.rms(), s.reflectance.n, s.return_loss.mean(), s.return_loss.rms(), s.return_loss.n,
      s.two_way.mean(), s.two_way.rms(), s.two_way.n);
  if (!s.milliseconds.empty())
    fmt::print("  ms per 64k median {:.1f} p99 {:.1f}\n", s.milliseconds[s.milliseconds.size() / 2],
               s.milliseconds[s.milliseconds.size() * 99 / 100]);
}

void add(const Sum& from, Sum& to) {
  to.n += from.n;
  to.sum += from.sum;
  to.square += from.square;
}

void add(const Share& from, Share& to) {
  to.hits += from.hits;
  to.n += from.n;
}

void add_all(const Score& from, Score& to) {
  for (int i = 0; i < 3; ++i) add(from.steps[i], to.steps[i]);
  add(from.peaks, to.peaks);
  add(from.end, to.end);
  add(from.covered, to.covered);
  add(from.loss_over_bound, to.loss_over_bound);
  add(from.two_way, to.two_way);
  to.false_alarms += from.false_alarms;
  to.km += from.km;
  to.ghosts += from.ghosts;
  to.ghosts_as_events += from.ghosts_as_events;
  to.ratios.insert(to.ratios.end(), from.ratios.begin(), from.ratios.end());
  to.milliseconds.insert(to.milliseconds.end(), from.milliseconds.begin(), from.milliseconds.end());
  std::sort(to.milliseconds.begin(), to.milliseconds.end());
}

}  // namespace

int main(int argc, char** argv) {
  const auto seed = static_cast<std::uint64_t>(argc > 1 ? std::atoll(argv[1]) : 1);
  const int count = argc > 2 ? std::atoi(argv[2]) : 100;
  const std::string sets = argc > 3 ? argv[3] : set_names;
  verbose = argc > 4;
  Score all;
  for (const char set : sets) {
    Score score;
    for (int i = 0; i < count; ++i) {
      Dice dice(seed * 1000003 + static_cast<std::uint64_t>(set) * 7919 + static_cast<std::uint64_t>(i));
      const Case one = draw_case(set, dice);
      if (verbose)
        fmt::print("{} {}: {} nm {} ns step {:.2f} D {:.1f} fading {:.4f} clip {}\n", set, i,
                   one.instrument.wavelength_nm, one.instrument.pulse_ns, one.instrument.step_m,
                   one.instrument.dynamic_range_db, one.instrument.fading, one.instrument.clip_mode);
      if (verbose)
        fmt::print("    true {:.4g} ns {:.1f}, {:.4g} ns {:.1f} base {:.2f} sat {:.1f}\n",
                   one.instrument.tail_share[0], one.instrument.tail_ns[0], one.instrument.tail_share[1],
                   one.instrument.tail_ns[1], one.instrument.baseline_sd, one.instrument.saturation_db);
      analyse_case(one, dice, score);
      if (set == 'B') score_both_ways(one, dice, score);
    }
    print_score(set, score);
    add_all(score, all);
  }
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  fmt::print(
      "traces seed={} each={} steps={:.4f}/{:.4f}/{:.4f} peaks={:.4f} end={:.4f} false_per_km={:.4f} "
      "ghosts_as_events={:.4f} loss_over_bound={:.2f} typical_over_bound={:.2f} covered={:.4f} "
      "two_way_bias_db={:+.4f} ms_64k={:.1f} peak_mb={:.0f}\n",
      seed, count, all.steps[0].value(), all.steps[1].value(), all.steps[2].value(), all.peaks.value(),
      all.end.value(), all.false_alarms / all.km,
      all.ghosts_as_events / std::max(1.0, all.ghosts + all.ghosts_as_events), all.loss_over_bound.rms(),
      typical(all.ratios), all.covered.value(), all.two_way.mean(),
      all.milliseconds.empty() ? 0.0 : all.milliseconds[all.milliseconds.size() / 2],
      static_cast<double>(usage.ru_maxrss) / 1024);
}
