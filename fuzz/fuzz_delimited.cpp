// Whatever the bytes, a table of text comes out with every cell inside its buffer, or a Problem with advice.

#include <cstdint>
#include <cstdlib>
#include <string>

#include "edge/exchange/delimited.hpp"
#include "edge/exchange/text_encoding.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto grid = strandbook::read_delimited({reinterpret_cast<const char*>(data), size}, "fuzz.csv");
  if (!grid) return grid.problem().advice.empty() ? std::abort(), 0 : 0;
  const std::string& buffer = *grid->buffer();
  for (std::size_t row = 0; row < grid->rows(); ++row)
    for (std::size_t column = 0; column < grid->width(row); ++column) {
      const std::string_view cell = grid->cell(row, column);
      if (cell.data() < buffer.data() || cell.data() + cell.size() > buffer.data() + buffer.size())
        std::abort();
      if (strandbook::first_invalid_utf8(cell) != std::string_view::npos) std::abort();
    }
  return 0;
}
