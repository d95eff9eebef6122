#pragma once
// The signed end of a device's chain as it stood after a commit: proof of all that stands before it.

#include <functional>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "edge/book/uuid.hpp"
#include "edge/signing/sha256.hpp"

namespace strandbook {

struct Head {
  Uuid device;
  std::int64_t sequence = 0;  ///< of the last fact of the commit
  Sha256 hash;                ///< of that fact
  std::string signature;      ///< ECDSA over head_statement, DER
  bool operator==(const Head&) const = default;
};

using HeadVisitor = std::function<Result<Done>(const Head& head)>;

/// What is signed, each line ended by one line feed: "strandbook head 1", device, sequence in decimal, hash.
std::string head_statement(const Uuid& device, std::int64_t sequence, const Sha256& hash);

}  // namespace strandbook
