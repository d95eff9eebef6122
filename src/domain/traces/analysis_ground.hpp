#pragma once
// A trace under analysis: levels about which it is linear, their weights, and the sections found so far.

#include <string>
#include <vector>

#include "domain/traces/edge_fit.hpp"

namespace strandbook {

/// An event on its way to becoming a TraceEvent; lengths in samples.
struct Mark {
  Candidate candidate;
  EdgeFit edge;
  std::size_t before_last = 0;  ///< end of the section before it
  std::size_t after_first = 0;  ///< start of the section behind it
  std::string echo;             ///< of an echo: the path that explains it
};

/// Fibre between two marks, as a line.
struct FittedSection {
  SampleRange samples;
  Line line;
};

struct TraceGround {
  LinearTrace light;
  std::size_t first = 0;       ///< where the fibre can be seen first, behind the panel
  std::size_t last = 0;        ///< where its light ends
  std::vector<double> level;   ///< dB, linear about a line: what is fitted
  std::vector<double> weight;  ///< inverse variance per sample; 0 = left out
  LineSums lines;              ///< of level and weight
  SlopePrior prior;
  std::vector<Mark> marks;              ///< by position
  std::vector<Mark> echoes;             ///< likewise; no section ends at one
  std::vector<FittedSection> sections;  ///< sections[i] stands before marks[i]; one more than marks
};

/// Levels about a running mean of the light, peaks left out: good enough to search in.
void set_search_levels(TraceGround& ground, const std::vector<Candidate>& peaks);
/// Levels about the line of each section, then the lines anew; twice is enough.
void refine_sections(TraceGround& ground, int rounds);
/// Fits all sections; where a section's beginning still bends, it begins later.
void fit_sections(TraceGround& ground);
/// Hides the light of echoes from the lines, and what is not straight beside them.
void hide_echoes(TraceGround& ground);
/// Slope that most of the light has, with how far sections differ from it.
SlopePrior robust_slope(const TraceGround& ground, SlopePrior usual);
/// Noise and fading so that the sections' own residuals agree with them.
void calibrate_densities(TraceGround& ground);

}  // namespace strandbook
