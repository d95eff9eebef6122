#include "edge/report/qr_code.hpp"

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

}  // namespace strandbook
