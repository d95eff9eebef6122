#pragma once
// A strand's traces as a picture: both directions over the length of the link, with its events.

#include "edge/report/sections.hpp"

namespace strandbook {

/// Draws the curves where the samples can be had, else a line with strokes for the events. Leaves the flow
/// below it.
void draw_traces(const ReportPass& pass, const JudgedTraces& judged);

}  // namespace strandbook
