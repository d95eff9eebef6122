#include "edge/report/strand_colour.hpp"

#include <array>

namespace strandbook {
namespace {

// SOURCE: colour sequence of TIA-598 (open trade knowledge); tones of the print are our own.
constexpr std::array<std::string_view, strand_colours> names = {
    "blue",         "orange",         "green",          "brown",          "slate",         "white",
    "red",          "black",          "yellow",         "violet",         "rose",          "aqua",
    "blue, tracer", "orange, tracer", "green, tracer",  "brown, tracer",  "slate, tracer", "white, tracer",
    "red, tracer",  "black, tracer",  "yellow, tracer", "violet, tracer", "rose, tracer",  "aqua, tracer"};

constexpr std::array<ChipColour, 12> tones = {{{0.16, 0.36, 0.70},
                                               {0.93, 0.52, 0.13},
                                               {0.20, 0.55, 0.27},
                                               {0.47, 0.30, 0.16},
                                               {0.52, 0.56, 0.60},
                                               {1.00, 1.00, 1.00},
                                               {0.78, 0.14, 0.14},
                                               {0.10, 0.10, 0.10},
                                               {0.97, 0.84, 0.20},
                                               {0.48, 0.28, 0.62},
                                               {0.94, 0.62, 0.70},
                                               {0.35, 0.78, 0.80}}};

std::size_t index_of(int position) { return static_cast<std::size_t>(position - 1); }

}  // namespace

std::optional<int> colour_position(std::string_view strand) {
  int number = 0;
  int place = 1;
  bool any = false;
  while (!strand.empty() && strand.back() >= '0' && strand.back() <= '9') {
    const int digit = strand.back() - '0';
    if (place > 10 && digit != 0) return std::nullopt;
    number += place > 10 ? 0 : digit * place;
    place = place > 10 ? place : place * 10;
    strand.remove_suffix(1);
    any = true;
  }
  if (!any || number < 1 || number > strand_colours) return std::nullopt;
  return number;
}

std::string_view colour_name(int position) { return names[index_of(position)]; }
ChipColour chip_colour(int position) { return tones[index_of(position) % 12]; }
bool has_tracer(int position) { return position > 12; }

bool is_dark(int position) {
  const ChipColour colour = chip_colour(position);
  return 0.3 * colour.red + 0.6 * colour.green + 0.1 * colour.blue < 0.35;
}

}  // namespace strandbook
