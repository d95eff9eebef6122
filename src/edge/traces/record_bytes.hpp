#pragma once
// Little-endian numbers and texts of a trace record, every read bounded by the end of its block.

#include <cstdint>
#include <string>
#include <string_view>

namespace strandbook {

class BlockReader {
 public:
  explicit BlockReader(std::string_view bytes) : bytes_(bytes) {}

  std::uint16_t u16() { return static_cast<std::uint16_t>(number(2)); }
  std::int16_t i16() { return static_cast<std::int16_t>(number(2)); }
  std::uint32_t u32() { return number(4); }
  std::int32_t i32() { return static_cast<std::int32_t>(number(4)); }
  /// Text up to its zero byte, or to the block's end where that is missing.
  std::string text();
  /// A code of so many characters without a zero byte.
  std::string code(std::size_t size);

  std::size_t left() const { return bytes_.size() - at_; }
  /// Whether something was asked for beyond the block's end; it came back as zero.
  bool short_of_bytes() const { return short_; }
  bool unended_text() const { return unended_; }

 private:
  std::uint32_t number(std::size_t size);

  std::string_view bytes_;
  std::size_t at_ = 0;
  bool short_ = false;
  bool unended_ = false;
};

class BlockWriter {
 public:
  BlockWriter& u16(std::uint32_t value) { return number(value, 2); }
  BlockWriter& i16(std::int32_t value) { return number(static_cast<std::uint32_t>(value), 2); }
  BlockWriter& u32(std::uint32_t value) { return number(value, 4); }
  BlockWriter& i32(std::int32_t value) { return number(static_cast<std::uint32_t>(value), 4); }
  BlockWriter& text(std::string_view text);  ///< up to its first zero byte
  BlockWriter& code(std::string_view text, std::size_t size);
  const std::string& bytes() const { return bytes_; }

 private:
  BlockWriter& number(std::uint32_t value, std::size_t size);
  std::string bytes_;
};

}  // namespace strandbook
