#include "domain/traces/echoes.hpp"

#include <algorithm>
#include <cmath>

#include "domain/traces/event_results.hpp"
#include "domain/traces/marks.hpp"

namespace strandbook {
namespace {

// What a peak leaves behind itself, where nothing else is known: this share of its height.
constexpr double left_behind = 0.005;
constexpr double sure_step = 3.5;       ///< standard deviations of a step that an echo never shows
constexpr double beside_step_db = 3;    ///< a higher peak's shape is known too little to see a step beside it
constexpr double under_tails = 0.1;     ///< dB that a tail still on the light may bend it by
constexpr double most_lost_db = 0.15;   ///< across a peak that a first look takes for an echo
constexpr std::size_t most_peaks = 60;  ///< of a trace of a link; with more a first look tells nothing

/// What is lost across a peak, by a line on each side.
std::optional<Measured> lost_across(const TraceGround& ground, SampleRange before, SampleRange behind,
                                    SlopePrior prior) {
  if (before.last <= before.first || behind.last <= behind.first) return std::nullopt;
  const Line a = ground.lines.fit(before, prior);
  const Line b = ground.lines.fit(behind, prior);
  if (!(a.information > 0) || !(b.information > 0)) return std::nullopt;
  const double x = static_cast<double>(before.last) * ground.light.step_km;
  return Measured{a.at(x) - b.at(x), std::sqrt(a.variance_at(x) + b.variance_at(x))};
}

/// A full peak may be as high as a connection's: then only the loss tells.
bool loses_nothing(const Measured& lost, const SeenPeak& peak, double slack_db) {
  const double left = peak.full ? 0 : left_behind * peak.height_db;
  const double unsure = std::hypot(lost.standard_uncertainty, left);
  return std::abs(lost.value) < slack_db + sure_step * unsure;
}

/// `before`: light of the fibre before the peak, linear.
std::optional<SeenPeak> seen_peak(const Trace& trace, const TraceGround& ground, const Mark& mark,
                                  double before) {
  if (!(before > 0) || !(mark.edge.height > 0)) return std::nullopt;
  SeenPeak peak;
  peak.at_m = trace.position_of(mark.edge.start).value;
  peak.until_m = trace.position_of(static_cast<double>(mark.after_first)).value;
  peak.level_db = decibels_per_share * std::log(before / start_power(trace, ground));
  peak.height_db = decibels_per_share * std::log(1 + mark.edge.height / before);
  peak.full = mark.edge.saturated;
  return peak;
}

std::optional<SeenPeak> seen_peak(const Trace& trace, const TraceGround& ground, const Mark& mark,
                                  const Line& before) {
  const double x = mark.edge.start * ground.light.step_km;
  const bool told = before.information > 0;
  return seen_peak(trace, ground, mark,
                   told ? std::exp(before.at(x) / decibels_per_share) : mark.edge.before);
}

void state_loss(SeenPeak& peak, const Measured& lost) {
  peak.most_loss_db = std::abs(lost.value) + 2 * lost.standard_uncertainty;
  peak.least_loss_db = std::max(0.0, std::abs(lost.value) - 2 * lost.standard_uncertainty);
}

/// Straight light on both sides of a peak, up to its neighbours.
std::optional<Measured> lost_nearby(const TraceGround& ground, const std::vector<Candidate>& peaks,
                                    std::size_t i, SlopePrior prior) {
  const double w = ground.light.pulse.width;
  const auto reach = static_cast<std::size_t>(8 * w) + 8;
  const auto margin = static_cast<std::size_t>(2 + 0.3 * w);
  const auto foot = static_cast<std::size_t>(std::max(0.0, peaks[i].start));
  const std::size_t to = foot > margin ? foot - margin : 0;
  const std::size_t from = std::max(to > reach ? to - reach : 0, i > 0 ? peaks[i - 1].until : ground.first);
  std::size_t until = std::min(peaks[i].until + reach, ground.last);
  if (i + 1 < peaks.size())
    until = std::min(until, static_cast<std::size_t>(std::max(0.0, peaks[i + 1].start)) - margin);
  return lost_across(ground, {from, to}, {peaks[i].until, until}, prior);
}

/// The last light before an edge, from where nothing of it shows yet.
double light_before(const LinearTrace& light, double edge) {
  const double w = light.pulse.width;
  const auto to = static_cast<std::size_t>(std::max(0.0, edge - 2 - 0.3 * w));
  const std::size_t from = to - std::min(to, static_cast<std::size_t>(1.5 * w) + 4);
  double sum = 0;
  for (std::size_t k = from; k < to; ++k) sum += light.of_fibre(k);
  return to > from ? sum / static_cast<double>(to - from) : 0;
}

void hide_peaks(TraceGround& ground, const std::vector<Candidate>& peaks) {
  ground.light.echo.assign(ground.light.power.size(), 0);
  for (const Candidate& peak : peaks) {
    if (!peak.echo) continue;
    const auto from =
        static_cast<std::size_t>(std::max(0.0, peak.start - 2 - 0.3 * ground.light.pulse.width));
    for (std::size_t k = from; k < std::min(peak.until, ground.light.echo.size()); ++k)
      ground.light.echo[k] = 1;
  }
}

bool is_peak(const Mark& mark) { return mark.candidate.peak || mark.edge.peak; }

const FittedSection& section_around(const TraceGround& ground, const Mark& echo) {
  const auto behind = std::find_if(ground.marks.begin(), ground.marks.end(), [&](const Mark& mark) {
    return mark.candidate.start > echo.candidate.start;
  });
  return ground.sections[static_cast<std::size_t>(behind - ground.marks.begin())];
}

}  // namespace

std::vector<Candidate> on_the_fibre(const std::vector<Candidate>& peaks) {
  std::vector<Candidate> out;
  std::copy_if(peaks.begin(), peaks.end(), std::back_inserter(out),
               [](const Candidate& peak) { return !peak.echo; });
  return out;
}

void look_for_echoes(const Trace& trace, TraceGround& ground, std::optional<double> panel_db, Tails tails,
                     std::vector<Candidate>& peaks) {
  const SlopePrior prior = tails == Tails::on ? SlopePrior{ground.prior.mean, 1e3} : ground.prior;
  const double slack = tails == Tails::on ? under_tails : 0;
  EchoBook book(trace, ground.light.pulse.width * trace.step.value, panel_db);
  for (std::size_t i = 0; i < peaks.size() && peaks.size() <= most_peaks; ++i) {
    if (peaks[i].start >= static_cast<double>(ground.last)) break;
    const double from = i > 0 ? peaks[i - 1].start + ground.light.pulse.width : 0;
    const std::size_t to =
        i + 1 < peaks.size() ? foot_before(ground.light, peaks[i + 1]) : ground.light.power.size();
    Mark mark{peaks[i], {}, 0, peaks[i].until, {}};
    mark.edge = fit_peak_edge(ground.light, peaks[i], {static_cast<std::size_t>(std::max(0.0, from)), to});
    std::optional<SeenPeak> peak =
        seen_peak(trace, ground, mark, light_before(ground.light, mark.edge.start));
    if (!peak) continue;
    const auto lost = lost_nearby(ground, peaks, i, prior);
    if (lost) state_loss(*peak, *lost);
    peaks[i].echo = lost && peak->most_loss_db < most_lost_db && !peak->full &&
                    loses_nothing(*lost, *peak, slack) && !book.explain(*peak).empty();
    if (!peaks[i].echo) book.add(*peak);
  }
  hide_peaks(ground, peaks);
}

namespace {

/// Marks and echoes sorted anew by what the fitted lines say.
class EchoSettling {
 public:
  EchoSettling(const Trace& trace, TraceGround& ground, std::optional<double> panel_db)
      : trace_(trace), ground_(ground), book_(trace, ground.light.pulse.width * trace.step.value, panel_db) {}

  bool run() {
    auto echo = ground_.echoes.begin();
    for (std::size_t i = 0; i < ground_.marks.size();) {
      for (; echo != ground_.echoes.end() && echo->candidate.start < ground_.marks[i].candidate.start; ++echo)
        settle_echo(*echo);
      std::size_t last = i;
      while (last + 1 < ground_.marks.size() && run_together(ground_, last, Behind::fibre)) ++last;
      settle_run(i, last);
      i = last + 1;
    }
    for (; echo != ground_.echoes.end(); ++echo) settle_echo(*echo);
    const auto by_place = [](const Mark& a, const Mark& b) { return a.candidate.start < b.candidate.start; };
    std::sort(marks_.begin(), marks_.end(), by_place);
    std::sort(echoes_.begin(), echoes_.end(), by_place);
    ground_.marks = std::move(marks_);
    ground_.echoes = std::move(echoes_);
    return changed_;
  }

 private:
  void settle_echo(Mark& echo) {
    const FittedSection& section = section_around(ground_, echo);
    std::optional<SeenPeak> peak = seen_peak(trace_, ground_, echo, section.line);
    const auto lost = lost_across(ground_, {section.samples.first, echo.before_last},
                                  {echo.after_first, section.samples.last}, ground_.prior);
    // Beside a step there may be no light to tell a loss by.
    const bool lossless = peak && (lost ? loses_nothing(*lost, *peak, 0) : peak->height_db < beside_step_db);
    if (lossless) {
      if (lost) state_loss(*peak, *lost);
      echo.echo = book_.explain(*peak);
      if (!echo.echo.empty()) {
        echoes_.push_back(echo);
        return;
      }
    }
    echo.candidate.echo = false;
    if (peak) book_.add(*peak);
    marks_.push_back(echo);
    changed_ = true;
  }

  /// An echo may lie beside a step: then the loss stands at another place, and the peak loses nothing.
  bool part_from_step(Mark mark, std::size_t i) {
    if (!is_peak(mark) || mark.edge.saturated) return false;
    const Line &before = ground_.sections[i].line, &after = ground_.sections[i + 1].line;
    const std::optional<SeenPeak> peak = seen_peak(trace_, ground_, mark, before);
    if (!peak || peak->height_db > beside_step_db) return false;
    if (!(before.information > 0 && after.information > 0)) return false;
    mark.echo = book_.explain(*peak);
    if (mark.echo.empty()) return false;
    const auto step = step_beside_peak(ground_.light, mark.edge, before, after, room_of(ground_, mark));
    if (!step) return false;
    Mark beside;
    beside.candidate.start = *step;
    beside.candidate.until = static_cast<std::size_t>(std::ceil(*step + ground_.light.pulse.extent()));
    beside.edge.start = *step;
    if (!mark.candidate.peak) mark.candidate.start = mark.edge.start;
    mark.candidate.peak = mark.candidate.echo = true;
    echoes_.push_back(mark);
    marks_.push_back(beside);
    return true;
  }

  /// Peaks within one cluster are echoes only together: what each of them loses is not known.
  void settle_run(std::size_t first, std::size_t last) {
    const auto lost = loss_between(ground_, ground_.sections[first], ground_.sections[last + 1],
                                   ground_.marks[first].edge.start);
    bool explained = true;
    std::vector<SeenPeak> peaks;
    for (std::size_t i = first; i <= last; ++i) {
      Mark& mark = ground_.marks[i];
      std::optional<SeenPeak> peak =
          is_peak(mark) ? seen_peak(trace_, ground_, mark, ground_.sections[i].line) : std::nullopt;
      if (peak && lost) state_loss(*peak, *lost);
      explained = explained && peak && lost && loses_nothing(*lost, *peak, 0);
      if (explained) mark.echo = book_.explain(*peak);
      explained = explained && !mark.echo.empty();
      if (peak) peaks.push_back(*peak);
    }
    if (!explained && first == last && part_from_step(ground_.marks[first], first)) {
      changed_ = true;
      return;
    }
    for (std::size_t i = first; i <= last; ++i) {
      Mark& mark = ground_.marks[i];
      mark.candidate.echo = explained;
      if (explained && !mark.candidate.peak) mark.candidate.start = mark.edge.start;
      mark.candidate.peak = mark.candidate.peak || explained;
      if (!explained) mark.echo.clear();
      (explained ? echoes_ : marks_).push_back(mark);
    }
    if (!explained)
      for (const SeenPeak& peak : peaks) book_.add(peak);
    changed_ = changed_ || explained;
  }

  const Trace& trace_;
  TraceGround& ground_;
  EchoBook book_;
  std::vector<Mark> marks_;
  std::vector<Mark> echoes_;
  bool changed_ = false;
};

TraceEvent ghost_of(const Trace& trace, const TraceGround& ground, const Mark& echo) {
  const FittedSection& section = section_around(ground, echo);
  TraceEvent event;
  event.kind = EventKind::ghost;
  event.position = trace.position_of(echo.edge.start);
  event.position_uncertainty = {echo.edge.deviation * trace.step.value};
  event.until = trace.position_of(static_cast<double>(echo.candidate.until));
  event.saturated = echo.edge.saturated;
  if (const auto peak = seen_peak(trace, ground, echo, section.line))
    event.height = Decibels{peak->height_db};
  event.echo = echo.echo;
  event.before = event.after = section.samples;
  event.before.last = echo.before_last;
  event.after.first = echo.candidate.until;
  return event;
}

TraceEvent echo_behind_end(const Trace& trace, const Candidate& peak, const EchoBook& book) {
  TraceEvent event;
  event.kind = EventKind::ghost;
  event.position = trace.position_of(peak.start);
  event.position_uncertainty = {trace.step.value};
  event.until = trace.position_of(static_cast<double>(peak.until));
  event.echo = book.path_to(event.position);
  // Behind the end there is nothing but echoes, whether or not a path explains them.
  if (event.echo.empty()) event.echo = "behind the end of the fibre";
  return event;
}

}  // namespace

bool settle_echoes(const Trace& trace, TraceGround& ground, std::optional<double> panel_db) {
  return EchoSettling(trace, ground, panel_db).run();
}

void state_ghosts(const Trace& trace, const TraceGround& ground, const std::vector<Candidate>& beyond,
                  std::optional<double> panel_db, TraceAnalysis& out) {
  EchoBook book(trace, ground.light.pulse.width * trace.step.value, panel_db);
  for (std::size_t i = 0; i < ground.marks.size(); ++i) {
    if (!is_peak(ground.marks[i])) continue;
    if (const auto peak = seen_peak(trace, ground, ground.marks[i], ground.sections[i].line)) book.add(*peak);
  }
  for (const Mark& echo : ground.echoes) out.events.push_back(ghost_of(trace, ground, echo));
  std::stable_sort(out.events.begin(), out.events.end(), [](const TraceEvent& a, const TraceEvent& b) {
    return a.position.value < b.position.value;
  });
  for (const Candidate& peak : beyond) out.events.push_back(echo_behind_end(trace, peak, book));
}

}  // namespace strandbook
