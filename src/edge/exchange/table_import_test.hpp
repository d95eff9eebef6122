#pragma once
// For tests: a grid from text with '|' between cells, and short texts of what came of it.

#include <fmt/format.h>

#include <memory>
#include <string>
#include <vector>

#include "edge/exchange/table_import.hpp"

namespace strandbook::test {

/// Lines are rows; '|' parts cells; nothing is quoted.
inline Grid grid_of(const std::string& text, const std::string& how_read = {}) {
  const auto buffer = std::make_shared<const std::string>(text);
  Grid grid("t.csv", "", buffer);
  grid.how_read = how_read;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t line_end = std::min(text.find('\n', at), text.size());
    grid.begin_row();
    while (at <= line_end && line_end > 0) {
      const std::size_t end = std::min({text.find('|', at), line_end});
      if (end > at || end < line_end || at > 0) grid.add_cell(at, end - at);
      at = end + 1;
      if (end == line_end) break;
    }
    at = line_end + 1;
  }
  return grid;
}

inline std::vector<Grid> grids_of(const std::string& text, const std::string& how_read = {}) {
  std::vector<Grid> grids;
  grids.push_back(grid_of(text, how_read));
  return grids;
}

inline std::string number(double value) { return fmt::format("{:g}", value); }

/// "L1/03 850 AB 0.71dB"
inline std::string text_of_reading(const Reading& r) {
  const std::string direction = r.direction ? std::string(text_of(*r.direction)) : "--";
  const std::string value = r.kind == ReadingKind::no_light
                                ? "dark"
                                : number(r.value) + (r.kind == ReadingKind::loss ? "dB" : "dBm");
  return fmt::format("{}/{} {} {} {}", r.link, r.strand, r.wavelength.value, direction, value);
}

inline std::vector<std::string> texts_of(const ReadingSet& set) {
  std::vector<std::string> texts;
  for (const Reading& r : set.rows) texts.push_back(text_of_reading(r));
  return texts;
}

/// "4 Loss: minus sign left out?": row, column, found
inline std::vector<std::string> texts_of(const std::vector<Problem>& problems) {
  std::vector<std::string> texts;
  for (const Problem& p : problems) texts.push_back(fmt::format("{} {}: {}", p.at.row, p.at.column, p.found));
  return texts;
}

inline bool notes_say(const std::vector<ImportNote>& notes, std::string_view part) {
  for (const ImportNote& note : notes)
    if (note.text.find(part) != std::string::npos) return true;
  return false;
}

using Texts = std::vector<std::string>;

}  // namespace strandbook::test
