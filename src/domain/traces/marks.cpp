#include "domain/traces/marks.hpp"

#include <algorithm>
#include <cmath>

namespace strandbook {

// The rise of a strong peak would draw the edge of a weaker one before it.
std::size_t foot_before(const LinearTrace& light, const Candidate& next) {
  return static_cast<std::size_t>(std::max(0.0, next.start - 1 - 0.3 * light.pulse.width));
}

SampleRange room_of(const TraceGround& ground, const Mark& mark) {
  std::size_t from = 0;
  std::size_t to = ground.light.power.size();
  for (const std::vector<Mark>* others : {&ground.marks, &ground.echoes})
    for (const Mark& other : *others) {
      if (other.candidate.start < mark.candidate.start)
        from = std::max(from,
                        static_cast<std::size_t>(std::max(0.0, other.edge.start + ground.light.pulse.width)));
      if (other.candidate.start > mark.candidate.start)
        to = std::min(to, foot_before(ground.light, other.candidate));
    }
  return {std::min(from, to), to};
}

namespace {

/// Deviations between the lines before and behind a mark; 0 without light on one side, where there is nothing
/// to hold it against.
double break_at(const TraceGround& ground, std::size_t i) {
  const Line &before = ground.sections[i].line, &after = ground.sections[i + 1].line;
  if (!(before.information > 0 && after.information > 0)) return 0;
  return break_strength(before, after, ground.marks[i].edge.start * ground.light.step_km);
}

/// What is no step may find its likeliest place anywhere: it would drive its neighbours out.
constexpr double least_to_move = 2.5;

void fit_edges(TraceGround& ground) {
  for (std::size_t i = 0; i < ground.marks.size(); ++i) {
    Mark& mark = ground.marks[i];
    if (mark.candidate.dark_behind) {
      mark.edge.start = mark.candidate.start;
      mark.edge.deviation = 0.5;
      continue;
    }
    if (mark.candidate.peak)
      mark.edge = fit_peak_edge(ground.light, mark.candidate, room_of(ground, mark));
    else if (break_at(ground, i) > least_to_move)
      mark.edge = fit_step_edge(ground.light, mark.candidate, ground.sections[i].line,
                                ground.sections[i + 1].line, room_of(ground, mark));
  }
  for (Mark& echo : ground.echoes)
    echo.edge = fit_peak_edge(ground.light, echo.candidate, room_of(ground, echo));
}

void set_section_end(const TraceGround& ground, Mark& mark) {
  const double margin = 1 + 0.12 * ground.light.pulse.width;
  const double uncertain =
      mark.candidate.peak ? 0 : std::min(2 * mark.edge.deviation, ground.light.pulse.width);
  mark.before_last =
      static_cast<std::size_t>(std::max(0.0, std::floor(mark.edge.start - margin - uncertain) + 1));
  if (mark.candidate.peak) {
    const auto foot =
        static_cast<std::size_t>(std::max(0.0, mark.candidate.start - 2 - 0.25 * ground.light.pulse.width));
    mark.before_last = std::min(mark.before_last, foot);
  }
  const double behind = mark.edge.start + ground.light.pulse.extent() + uncertain;
  if (!mark.candidate.peak) mark.candidate.until = static_cast<std::size_t>(std::ceil(behind));
  mark.candidate.until = std::max(mark.before_last, mark.candidate.until);
}

}  // namespace

std::vector<Mark> marks_of(const std::vector<Candidate>& candidates) {
  std::vector<Mark> marks;
  for (const Candidate& candidate : candidates) {
    Mark mark{candidate, {}, 0, candidate.until, {}};
    mark.edge.start = candidate.start;
    marks.push_back(mark);
  }
  std::sort(marks.begin(), marks.end(),
            [](const Mark& a, const Mark& b) { return a.candidate.start < b.candidate.start; });
  return marks;
}

void set_section_ends(TraceGround& ground) {
  for (Mark& mark : ground.marks) set_section_end(ground, mark);
  for (Mark& echo : ground.echoes) set_section_end(ground, echo);
}

std::vector<Candidate> steps_between(const TraceGround& ground, const std::vector<Candidate>& peaks,
                                     double threshold) {
  const double penalty = threshold * threshold;
  const auto margin = static_cast<std::size_t>(2 + 0.3 * ground.light.pulse.width);
  std::vector<Candidate> steps;
  std::size_t from = ground.first;
  const auto search = [&](std::size_t to) {
    if (to <= from) return;
    for (const Candidate& step : find_steps(ground.light, ground.lines, {from, to}, ground.prior, penalty))
      steps.push_back(step);
  };
  for (const Candidate& peak : peaks) {
    if (peak.start < static_cast<double>(ground.first)) continue;
    const auto start = static_cast<std::size_t>(peak.start);
    if (start >= ground.last) break;
    search(start > margin ? std::min(start - margin, ground.last) : 0);
    from = std::min(peak.until, ground.last);
  }
  search(ground.last);
  return steps;
}

void fit_marks(TraceGround& ground) {
  refine_sections(ground, 1);
  fit_edges(ground);
  set_section_ends(ground);
  refine_sections(ground, 1);
  hide_echoes(ground);
  refine_sections(ground, 1);
}

bool drop_weak_step(TraceGround& ground) {
  std::size_t weakest = ground.marks.size();
  double least = step_threshold;
  for (std::size_t i = 0; i < ground.marks.size(); ++i) {
    if (ground.marks[i].candidate.peak || ground.marks[i].candidate.dark_behind) continue;
    const double strength = break_at(ground, i);
    if (strength < least) {
      least = strength;
      weakest = i;
    }
  }
  if (weakest == ground.marks.size()) return false;
  ground.marks.erase(ground.marks.begin() + static_cast<std::ptrdiff_t>(weakest));
  return true;
}

SlopePrior learned_slope(const TraceGround& ground, SlopePrior before, double spread) {
  double w = 1 / (before.deviation * before.deviation);
  double sum = w * before.mean;
  for (const FittedSection& section : ground.sections) {
    const Line free = ground.lines.fit(section.samples, {0, 1e4});
    if (!(free.information > 0) || free.slope_variance > 1) continue;
    const double weight = 1 / (free.slope_variance + spread * spread);
    w += weight;
    sum += weight * free.slope;
  }
  // What the mean itself is unsure of is common to all sections.
  return {sum / w, std::sqrt(spread * spread + 1 / w)};
}

}  // namespace strandbook
