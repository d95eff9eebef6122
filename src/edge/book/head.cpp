#include "edge/book/head.hpp"

namespace strandbook {

std::string head_statement(const Uuid& device, std::int64_t sequence, const Sha256& hash) {
  return "strandbook head 1\n" + text_of(device) + "\n" + std::to_string(sequence) + "\n" + text_of(hash) +
         "\n";
}

}  // namespace strandbook
