#pragma once
// Which character stands between the cells of a text table, decided from the text itself.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace strandbook {

/// A file shows its form within so many bytes.
inline constexpr std::size_t sample_bytes = std::size_t{64} * 1024;

struct Delimiter {
  std::optional<char> character;  ///< none: the file has one column
  bool stated = false;            ///< the file's first line says so ("sep=;")
};

/// Reads the "sep=" line where there is one; else compares , ; tab | over the first rows, quote-aware.
Delimiter find_delimiter(std::string_view text);

/// "';' between cells", "tab between cells", "one column".
std::string describe(const Delimiter& delimiter);

}  // namespace strandbook
