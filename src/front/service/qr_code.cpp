#include "front/service/qr_code.hpp"

#include <qrencode.h>

#include <memory>

namespace strandbook {
namespace {

struct FreeCode {
  void operator()(QRcode* code) const { QRcode_free(code); }
};

}  // namespace

std::vector<std::string> qr_rows(std::string_view text) {
  const std::unique_ptr<QRcode, FreeCode> code(
      QRcode_encodeString8bit(std::string(text).c_str(), 0, QR_ECLEVEL_M));
  if (!code) return {};
  const auto width = static_cast<std::size_t>(code->width);
  std::vector<std::string> rows(width, std::string(width, '0'));
  for (std::size_t y = 0; y < width; ++y)
    for (std::size_t x = 0; x < width; ++x)
      if ((code->data[y * width + x] & 1U) != 0) rows[y][x] = '1';
  return rows;
}

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
