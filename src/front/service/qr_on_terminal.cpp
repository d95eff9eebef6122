#include "front/service/qr_on_terminal.hpp"

#include <vector>

#include "edge/report/qr_code.hpp"

namespace strandbook {

std::string qr_for_terminal(std::string_view text) {
  constexpr std::size_t quiet = 4;
  const std::vector<std::string> rows = qr_rows(text);
  const std::size_t size = rows.size() + 2 * quiet;
  const auto light = [&](std::size_t y, std::size_t x) {
    const bool inside = y >= quiet && x >= quiet && y < rows.size() + quiet && x < rows.size() + quiet;
    return y < size && !(inside && rows[y - quiet][x - quiet] == '1');
  };
  std::string lines;
  for (std::size_t y = 0; !rows.empty() && y < size; y += 2) {
    for (std::size_t x = 0; x < size; ++x) {
      const bool upper = light(y, x);
      const bool lower = light(y + 1, x);
      lines += upper && lower ? "\u2588" : upper ? "\u2580" : lower ? "\u2584" : " ";
    }
    lines += '\n';
  }
  return lines;
}

}  // namespace strandbook
