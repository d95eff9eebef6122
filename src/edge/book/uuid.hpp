#pragma once
// Names of facts and devices: UUIDs (RFC 9562), 16 bytes in memory, the usual text elsewhere.

#include <array>
#include <compare>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace strandbook {

struct Uuid {
  std::array<std::uint8_t, 16> bytes{};
  auto operator<=>(const Uuid&) const = default;
};

/// "01960000-0000-7000-8000-000000000000"
std::string text_of(const Uuid& id);
/// The same text in either case; nothing where it is not a UUID.
std::optional<Uuid> parse_uuid(std::string_view text);

/// 64 random bits at each call.
using RandomBits = std::function<std::uint64_t()>;

/// The UUIDv7 that follows `previous` in one device's chain: greater than it, even where the clock was set
/// back or many are made within a millisecond (RFC 9562, 6.2, method 2). `now_ms`: milliseconds UTC since
/// 1970.
Uuid next_uuid7(const Uuid& previous, std::int64_t now_ms, const RandomBits& random);
/// A random UUID (version 4).
Uuid random_uuid(const RandomBits& random);

}  // namespace strandbook
