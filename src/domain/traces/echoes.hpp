#pragma once
// Peaks that are echoes: they part no fibre, so that one line is laid across each.

#include "domain/traces/analysis_ground.hpp"
#include "domain/traces/echo_book.hpp"

namespace strandbook {

/// How sure a step across an echo is known to be none: the detector's tails may still lie on the light.
enum class Tails { on, off };

/// Says of each peak whether the light between the others explains it, and hides the light of those that it
/// does. For a first look: nothing but the peaks' own shapes and the light beside them is asked.
void look_for_echoes(const Trace& trace, TraceGround& ground, std::optional<double> panel_db, Tails tails,
                     std::vector<Candidate>& peaks);
/// Peaks that are no echoes.
std::vector<Candidate> on_the_fibre(const std::vector<Candidate>& peaks);
/// By the fitted lines: marks that turn out to be echoes leave the marks, echoes that are none join them.
/// False where all stays as it was.
bool settle_echoes(const Trace& trace, TraceGround& ground, std::optional<double> panel_db);
/// Echoes as events, among the others by position; `beyond` are peaks behind the end, all of them echoes.
void state_ghosts(const Trace& trace, const TraceGround& ground, const std::vector<Candidate>& beyond,
                  std::optional<double> panel_db, TraceAnalysis& out);

}  // namespace strandbook
