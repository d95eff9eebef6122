#include "front/service/random_text.hpp"

#include <openssl/rand.h>

#include <cstdlib>

namespace strandbook {

std::string random_text(std::string_view signs, std::size_t length) {
  std::string text;
  while (text.size() < length) {
    unsigned char byte = 0;
    if (RAND_bytes(&byte, 1) != 1) std::abort();  // without randomness nobody may come in
    const std::size_t fair = 256 - 256 % signs.size();
    if (byte < fair) text += signs[byte % signs.size()];
  }
  return text;
}

}  // namespace strandbook
