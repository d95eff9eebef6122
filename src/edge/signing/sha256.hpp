#pragma once
// SHA-256 (FIPS 180-4) of bytes: the name of a kept file, and the links of a chain of facts.

#include <array>
#include <compare>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "edge/signing/openssl_handles.hpp"

namespace strandbook {

struct Sha256 {
  std::array<std::uint8_t, 32> bytes{};  ///< all zero before the first fact of a chain
  auto operator<=>(const Sha256&) const = default;
};

/// 64 lower-case hexadecimal digits.
std::string text_of(const Sha256& hash);
std::optional<Sha256> parse_sha256(std::string_view text);
Sha256 sha256(std::string_view bytes);

/// The same of bytes that come piece by piece.
class Sha256Sum {
 public:
  Sha256Sum();
  void add(std::string_view piece);
  /// Once, after the last piece.
  Sha256 finish();

 private:
  DigestContext context_;
};

}  // namespace strandbook
