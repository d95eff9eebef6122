// A step or drift while one reference is in use. Three views of the same series: the difference to another
// session (connections cancel), the place among the neighbours of a cable, and the level from cable to cable.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/session.hpp"
#include "domain/statistics/change_point.hpp"
#include "domain/statistics/control_charts.hpp"
#include "domain/statistics/robust.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

constexpr std::size_t least_values = 16;
/// Half the shift to be caught, in standard deviations: large enough that cables which differ a little by
/// themselves do not run up the chart.
constexpr double allowance = 1;

/// One value per reading, or per cable, in time order.
struct View {
  const char* words = "";
  std::vector<double> values;
  std::vector<std::uint32_t> tests;  ///< beside values
  double usual = 0;                  ///< standard deviation while nothing changes
};

double limit_of_charts(double readings) {
  static thread_local std::pair<double, double> known{0, 0};
  if (known.first != readings) known = {readings, cusum_limit_for(allowance, readings)};
  return known.second;
}

/// One value per strand: both directions of a strand share its connections and are no two witnesses.
template <class Value>
View by_strand(std::span<const SessionEntry> series, const char* words, double usual, Value value) {
  View view{words, {}, {}, usual};
  double sum = 0;
  double count = 0;
  for (std::size_t i = 0; i < series.size(); ++i) {
    const double each = value(series[i]);
    if (!std::isnan(each)) {
      sum += each;
      ++count;
    }
    if (i + 1 < series.size() && series[i + 1].strand == series[i].strand) continue;
    if (count > 0) {
      view.values.push_back(sum / count);
      view.tests.push_back(series[i].test);
    }
    sum = count = 0;
  }
  return view;
}

View differences(std::span<const SessionEntry> series, const UsualSpread& spread) {
  return by_strand(series, "against the same strands under another reference",
                   std::hypot(spread.wavelength.value, spread.repeat.value),
                   [](const SessionEntry& entry) -> double { return entry.contrast_db; });
}

View among_neighbours(std::span<const SessionEntry> series, const UsualSpread& spread) {
  return by_strand(series, "against neighbours of the same cable", spread.strand.value,
                   [](const SessionEntry& entry) -> double { return entry.level_db; });
}

/// Medians of runs of one cable.
View from_cable_to_cable(std::span<const SessionEntry> series, const UsualSpread& spread) {
  View view{"from cable to cable", {}, {}, 0};
  constexpr std::size_t least_run = 4;
  std::vector<double> run;
  double variance = 0;
  for (std::size_t i = 0; i < series.size(); ++i) {
    if (!std::isnan(series[i].job_level_db)) run.push_back(series[i].job_level_db);
    if (i + 1 < series.size() && series[i + 1].block == series[i].block) continue;
    if (run.size() >= least_run) {
      variance += spread.strand.value * spread.strand.value / static_cast<double>(run.size());
      view.values.push_back(median_in_place(run));
      view.tests.push_back(series[i].test);
    }
    run.clear();
  }
  if (!view.values.empty()) variance /= static_cast<double>(view.values.size());
  view.usual = std::sqrt(variance + spread.cable.value * spread.cable.value);
  return view;
}

/// Standard deviation from value to value: a drift does not widen it.
double step_to_step(const std::vector<double>& values) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < values.size(); ++i) steps.push_back(std::abs(values[i] - values[i - 1]));
  return median_in_place(steps) * mad_to_sigma / std::sqrt(2.0);
}

/// Whether the chart alarms; values beyond three standard deviations count as three, so that single bad
/// strands do not look like a shift.
bool chart_alarms(const View& view, double readings) {
  const double scale = std::max(view.usual, step_to_step(view.values));
  // Strands that scatter far more than strands do are a matter of their own.
  if (scale > 2 * view.usual) return false;
  const double centre = median(view.values);
  constexpr double most = 3;
  Cusum chart({allowance, limit_of_charts(readings), 0});
  return std::any_of(view.values.begin(), view.values.end(), [&](double value) {
    return chart.add(std::clamp((value - centre) / scale, -most, most));
  });
}

struct Shift {
  const View* view = nullptr;
  LevelChange change;
  double probability = 1;
  double size() const { return change.since - change.before; }
};

Shift likeliest_shift(const View& view, std::size_t least) {
  std::vector<double> held = view.values;
  std::vector<double> copy = held;
  const Centre centre = median_and_mad(copy);
  const double far = 4 * std::max(view.usual, centre.scale);
  for (double& value : held) value = std::clamp(value, centre.location - far, centre.location + far);
  Shift shift{&view, likeliest_change(held, least), 1};
  // Not fewer squares than usual scatter would leave: values alike by chance make no step significant.
  const auto n = static_cast<double>(held.size());
  shift.change.residual_squares = std::max(shift.change.residual_squares, (n - 2) * view.usual * view.usual);
  const auto first = static_cast<double>(shift.change.after);
  const double taken = shift.size() * shift.size() * first * (n - first) / n;
  shift.change.f = taken / (shift.change.residual_squares / (n - 2));
  shift.probability = change_probability(shift.change, held.size(), held.size() - 2 * least + 1);
  return shift;
}

/// Whether this session's own level moves with the difference: else it is the other one that moved.
bool own_level_moves(std::span<const SessionEntry> series, const Shift& shift) {
  const std::uint32_t since = shift.view->tests[shift.change.after];
  double sums[2] = {0, 0};
  double counts[2] = {0, 0};
  int part = 0;
  for (const SessionEntry& entry : series) {
    if (entry.test == since) part = 1;
    const float level = std::isnan(entry.job_level_db) ? entry.level_db : entry.job_level_db;
    sums[part] += level;
    ++counts[part];
  }
  if (counts[0] == 0 || counts[1] == 0) return true;
  const double moved = sums[1] / counts[1] - sums[0] / counts[0];
  constexpr double doubtful = 0.35;  // of the shift: where the level tells nothing clear, both are named
  return moved / shift.size() > doubtful;
}

Finding described(const Assessment& all, const Shift& shift, double readings) {
  const View& view = *shift.view;
  const JudgedTest& first = all.tests[view.tests.front()];
  const JudgedTest& since = all.tests[view.tests[shift.change.after]];
  Finding finding;
  finding.kind = "reference-shift";
  finding.weight = Weight::stop;
  finding.about = session_words(all, first);
  finding.summary = fmt::format("Under the {} losses {} by {:.2f} dB from {} on, {}: cord or source changed.",
                                session_words(all, first), shift.size() > 0 ? "rise" : "fall",
                                std::abs(shift.size()), strands_named(all, {since.strand}), view.words);
  finding.evidence = {{"step_db", shift.size()},
                      {"values_before", static_cast<double>(shift.change.after)},
                      {"values_since", static_cast<double>(view.values.size() - shift.change.after)},
                      {"seen", view.words},
                      {"run_length_without_cause", readings}};
  finding.advice =
      "Read the reference again now. If it moved, repeat what was measured since; if not, clean and inspect "
      "the test "
      "cords' ends.";
  finding.caution = live_port_caution;
  Picture picture;
  picture.kind = Picture::Kind::series;
  picture.x_name = "order in time";
  picture.y_name = "difference, dB";
  const std::size_t every = view.values.size() / Picture::most_points + 1;
  for (std::size_t i = 0; i < view.values.size(); i += every)
    picture.points.push_back({static_cast<double>(i + 1), view.values[i], i >= shift.change.after});
  picture.levels = {{1, static_cast<double>(shift.change.after), shift.change.before},
                    {static_cast<double>(shift.change.after + 1), static_cast<double>(view.values.size()),
                     shift.change.since}};
  finding.picture = std::move(picture);
  return finding;
}

}  // namespace

void detect_shift(const Assessment& all, const DiagnosisPractice& practice,
                  std::span<const SessionEntry> series, Suspects& out) {
  if (series.size() < least_values) return;
  const View views[] = {differences(series, practice.spread), among_neighbours(series, practice.spread),
                        from_cable_to_cable(series, practice.spread)};
  Shift best;
  std::size_t looked = 0;
  for (const View& view : views) {
    const bool cables = &view == &views[2];
    constexpr std::size_t least_cables = 6;
    if (view.values.size() < (cables ? least_cables : least_values)) continue;
    ++looked;
    if (!cables && !chart_alarms(view, practice.false_alarm_readings)) continue;
    const Shift shift = likeliest_shift(view, cables ? 2 : 4);
    if (std::abs(shift.size()) < practice.least_offset.value || shift.probability >= best.probability)
      continue;
    if (&view == &views[0] && !own_level_moves(series, shift)) continue;
    best = shift;
  }
  out.looked(Family::shift, looked);
  if (best.view == nullptr) return;
  Finding finding = described(all, best, practice.false_alarm_readings);
  // What was measured since the step is what must be repeated.
  const std::uint32_t since = best.view->tests[best.change.after];
  const auto begin = std::find_if(series.begin(), series.end(),
                                  [since](const SessionEntry& entry) { return entry.test == since; });
  for (auto entry = begin; entry != series.end(); ++entry) finding.tests.push_back(entry->test);
  std::sort(finding.tests.begin(), finding.tests.end());
  out.suspect(Family::shift, best.probability, std::move(finding));
}

void detect_pace(const Assessment& all, const DiagnosisPractice& practice,
                 std::span<const SessionEntry> series, Suspects& out) {
  constexpr std::size_t window = 20;
  std::vector<const SessionEntry*> strands;  // first reading of each strand in turn
  for (const SessionEntry& entry : series)
    if (entry.timed && (strands.empty() || strands.back()->strand != entry.strand)) strands.push_back(&entry);
  if (strands.size() < window) return;
  // One moment for everything is the time of an export, not of readings.
  if (strands.front()->second == strands.back()->second) return;
  const double least = practice.least.strand_seconds * static_cast<double>(window - 1);
  std::vector<std::uint32_t> fast;
  double fastest = least;
  for (std::size_t i = 0; i + window <= strands.size(); ++i) {
    const auto taken = static_cast<double>(strands[i + window - 1]->second - strands[i]->second);
    if (taken >= least) continue;
    fastest = std::min(fastest, taken);
    for (std::size_t k = i; k < i + window; ++k)
      if (fast.empty() || fast.back() < k) fast.push_back(static_cast<std::uint32_t>(k));
  }
  if (fast.empty()) return;
  Finding finding;
  finding.kind = "pace";
  for (const std::uint32_t k : fast) finding.tests.push_back(strands[k]->test);
  std::sort(finding.tests.begin(), finding.tests.end());
  finding.about = session_words(all, all.tests[strands.front()->test]);
  finding.summary =
      fmt::format("Under the {} {} strands follow each other faster than plugs can be moved: {} in {:.0f} s.",
                  finding.about, fast.size(), window, fastest);
  finding.evidence = {{"strands", static_cast<double>(fast.size())},
                      {"strands_in_window", static_cast<double>(window)},
                      {"fastest_window_s", fastest}};
  finding.advice =
      "Ask how they were taken. An instrument that reads many strands at once explains it; otherwise measure "
      "a few again.";
  out.facts.push_back(std::move(finding));
}

}  // namespace strandbook
