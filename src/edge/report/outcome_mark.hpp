#pragma once
// The shapes of outcomes. Round is within the limit, square beyond it; full is settled, half lies within the
// uncertainty; open shapes stand for no verdict. Readable without colour, and always with the word beside.

#include <cairo.h>

#include <array>

#include "domain/verdict/outcome.hpp"

namespace strandbook {

struct Point;

inline constexpr std::array all_outcomes = {
    Outcome::pass, Outcome::conditional_pass, Outcome::conditional_fail,
    Outcome::fail, Outcome::not_tested,       Outcome::invalid};

constexpr bool is_beyond_limit(Outcome outcome) {
  return outcome == Outcome::fail || outcome == Outcome::conditional_fail;
}

/// Adds to cairo's path what of the shape is filled; the disc of a pass is drawn as a dot of the pen instead.
void mark_fill(cairo_t* context, Outcome outcome, Point centre, double radius);
/// Adds to cairo's path what of the shape is drawn as a line.
void mark_outline(cairo_t* context, Outcome outcome, Point centre, double radius);

}  // namespace strandbook
