#include "edge/book/uuid.hpp"

#include <algorithm>

#include "edge/signing/hex.hpp"

namespace strandbook {
namespace {

constexpr std::uint64_t low_mask = (std::uint64_t{1} << 62U) - 1;
constexpr std::uint64_t high_mask = 0xfff;
constexpr std::uint64_t time_mask = (std::uint64_t{1} << 48U) - 1;

/// The three free fields of a UUIDv7.
struct Parts {
  std::uint64_t ms = 0;    // 48 bits
  std::uint64_t high = 0;  // 12 bits
  std::uint64_t low = 0;   // 62 bits
};

std::uint64_t big_endian(const Uuid& id, std::size_t first) {
  std::uint64_t value = 0;
  for (std::size_t i = first; i < first + 8; ++i) value = value << 8U | id.bytes[i];
  return value;
}

Uuid from_halves(std::uint64_t first, std::uint64_t second) {
  Uuid id;
  for (std::size_t i = 0; i < 8; ++i) {
    id.bytes[7 - i] = static_cast<std::uint8_t>(first >> (8 * i));
    id.bytes[15 - i] = static_cast<std::uint8_t>(second >> (8 * i));
  }
  return id;
}

Parts parts_of(const Uuid& id) {
  const std::uint64_t first = big_endian(id, 0);
  return {first >> 16U, first & high_mask, big_endian(id, 8) & low_mask};
}

Uuid joined(const Parts& parts) {
  constexpr std::uint64_t version = 0x7000;
  constexpr std::uint64_t variant = std::uint64_t{2} << 62U;
  return from_halves((parts.ms & time_mask) << 16U | version | parts.high, variant | parts.low);
}

int hex_value_in_any_case(char c) { return c >= 'A' && c <= 'F' ? c - 'A' + 10 : hex_value(c); }

bool is_dash(std::size_t position) {
  return position == 8 || position == 13 || position == 18 || position == 23;
}

}  // namespace

std::string text_of(const Uuid& id) {
  std::string text(36, '-');
  char* at = text.data();
  for (std::size_t i = 0; i < id.bytes.size(); ++i) {
    if (i == 4 || i == 6 || i == 8 || i == 10) ++at;
    at = put_hex(at, id.bytes[i]);
  }
  return text;
}

std::optional<Uuid> parse_uuid(std::string_view text) {
  if (text.size() != 36) return std::nullopt;
  Uuid id;
  std::size_t digit = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (is_dash(i) != (text[i] == '-')) return std::nullopt;
    if (is_dash(i)) continue;
    const int value = hex_value_in_any_case(text[i]);
    if (value < 0) return std::nullopt;
    std::uint8_t& byte = id.bytes[digit++ / 2];
    byte = static_cast<std::uint8_t>(byte << 4U | value);
  }
  return id;
}

Uuid next_uuid7(const Uuid& previous, std::int64_t now_ms, const RandomBits& random) {
  const std::uint64_t now = static_cast<std::uint64_t>(std::max<std::int64_t>(now_ms, 0)) & time_mask;
  Parts parts = parts_of(previous);
  if (now > parts.ms) {
    // The top bit starts empty, so that a long batch within one millisecond has room to count.
    return joined({now, random() & (high_mask >> 1U), random() & low_mask});
  }
  const std::uint64_t step = 1 + (random() & 0xffffffffU);
  parts.low += step;
  parts.high += parts.low >> 62U;
  parts.low &= low_mask;
  parts.ms += parts.high >> 12U;
  parts.high &= high_mask;
  return joined(parts);
}

Uuid random_uuid(const RandomBits& random) {
  Parts parts{random() & time_mask, random() & high_mask, random() & low_mask};
  Uuid id = joined(parts);
  id.bytes[6] = static_cast<std::uint8_t>((id.bytes[6] & 0x0fU) | 0x40U);
  return id;
}

}  // namespace strandbook
