#pragma once
// Bytes of a text file -> UTF-8, with what was found out about them in words.

#include <cstddef>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"

namespace strandbook {

struct DecodedText {
  std::string text;       ///< UTF-8, no embedded NUL
  std::size_t start = 0;  ///< where the text begins: behind a byte-order mark
  std::string how;        ///< "UTF-8 with byte-order mark", "Windows-1252"
};

/// UTF-8, UTF-16 (marked, or seen by its zero bytes) or, where the bytes are neither, Windows-1252.
/// Binary content and bytes that no encoding explains are a Problem.
Result<DecodedText> decode_text(std::string bytes, const std::string& file);

/// Offset of the first byte that breaks UTF-8 (RFC 3629: no overlong forms, no surrogates), or npos.
std::size_t first_invalid_utf8(std::string_view text);

}  // namespace strandbook
