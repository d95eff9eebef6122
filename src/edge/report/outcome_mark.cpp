#include "edge/report/outcome_mark.hpp"

#include <numbers>

#include "edge/report/canvas.hpp"

namespace strandbook {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double square = 0.88;  ///< half side of a square that looks as large as a disc of radius 1

void disc(cairo_t* context, Point centre, double radius) {
  cairo_new_sub_path(context);
  cairo_arc(context, centre.x, centre.y, radius, 0, 2 * pi);
  cairo_close_path(context);
}

void lozenge(cairo_t* context, Point centre, double radius) {
  const double reach = radius * 1.15;
  cairo_move_to(context, centre.x, centre.y - reach);
  cairo_line_to(context, centre.x + reach, centre.y);
  cairo_line_to(context, centre.x, centre.y + reach);
  cairo_line_to(context, centre.x - reach, centre.y);
  cairo_close_path(context);
}

}  // namespace

void mark_fill(cairo_t* context, Outcome outcome, Point centre, double radius) {
  const double half = radius * square;
  switch (outcome) {
    case Outcome::conditional_pass:
      cairo_new_sub_path(context);
      cairo_arc(context, centre.x, centre.y, radius, 0, pi);
      cairo_close_path(context);
      return;
    case Outcome::conditional_fail:
      cairo_rectangle(context, centre.x - half, centre.y, 2 * half, half);
      return;
    case Outcome::fail:
      cairo_rectangle(context, centre.x - half, centre.y - half, 2 * half, 2 * half);
      return;
    case Outcome::pass:
    case Outcome::not_tested:
    case Outcome::invalid:
      return;
  }
}

void mark_outline(cairo_t* context, Outcome outcome, Point centre, double radius) {
  const double inner = radius - 0.3;
  const double half = radius * square - 0.3;
  switch (outcome) {
    case Outcome::conditional_pass:
    case Outcome::not_tested:
      disc(context, centre, inner);
      return;
    case Outcome::conditional_fail:
      cairo_rectangle(context, centre.x - half, centre.y - half, 2 * half, 2 * half);
      return;
    case Outcome::invalid:
      lozenge(context, centre, inner);
      cairo_move_to(context, centre.x - radius * 1.15, centre.y);
      cairo_line_to(context, centre.x + radius * 1.15, centre.y);
      return;
    case Outcome::pass:
    case Outcome::fail:
      return;
  }
}

}  // namespace strandbook
