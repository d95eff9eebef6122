#pragma once
// The colour a strand has in its cable, after the open TIA-598 sequence, from the number its name ends in.

#include <optional>
#include <string_view>

namespace strandbook {

/// Positions told apart: 12 colours, then the same with a tracer.
inline constexpr int strand_colours = 24;

struct ChipColour {
  double red;
  double green;
  double blue;
};

/// "07" -> 7, "F-013" -> 13; nothing where the name ends in no number from 1 to 24.
std::optional<int> colour_position(std::string_view strand);

/// "blue", ..., "aqua", "blue, tracer", ...; position 1 to 24.
std::string_view colour_name(int position);
ChipColour chip_colour(int position);
bool has_tracer(int position);
bool is_dark(int position);

}  // namespace strandbook
