#pragma once
// The budget bar: the parts of a limit, the loss with its uncertainty, and the limit itself on one axis.

#include <optional>

#include "domain/rulebook/limit.hpp"
#include "edge/report/canvas.hpp"
#include "edge/report/wording.hpp"

namespace strandbook {

struct BudgetPicture {
  const Limit* limit = nullptr;  ///< null where none could be worked out
  std::optional<Decibels> loss;
  Decibels expanded_uncertainty;  ///< U = 2u
};

inline constexpr double budget_bar_height = 58;

/// Draws into a box budget_bar_height high. Parts that are taken away from the limit are hatched.
void draw_budget_bar(Canvas& canvas, const Box& box, const BudgetPicture& picture, const Wording& words);

/// A step of 1, 2 or 5 times a power of ten that parts a range into four to ten; range > 0.
double axis_step(double range);

}  // namespace strandbook
