#pragma once
// The small picture that belongs to a finding: its points, those concerned filled, and levels across.

#include "domain/diagnosis/finding.hpp"
#include "edge/report/canvas.hpp"
#include "edge/report/wording.hpp"

namespace strandbook {

inline constexpr double finding_picture_height = 96;

/// Draws into a box finding_picture_height high. Fewer than two points draw nothing.
/// The picture in words, for whoever cannot see it.
std::string picture_told(const Picture& picture, const Wording& words);

void draw_finding_picture(Canvas& canvas, const Box& box, const Picture& picture, const Wording& words);

}  // namespace strandbook
