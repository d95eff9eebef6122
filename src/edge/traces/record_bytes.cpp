#include "edge/traces/record_bytes.hpp"

#include <algorithm>

#include "edge/traces/trace_record.hpp"

namespace strandbook {

std::uint32_t BlockReader::number(std::size_t size) {
  if (left() < size) {
    at_ = bytes_.size();
    short_ = true;
    return 0;
  }
  std::uint32_t value = 0;
  for (std::size_t i = size; i-- > 0;) value = value << 8 | static_cast<unsigned char>(bytes_[at_ + i]);
  at_ += size;
  return value;
}

std::string BlockReader::text() {
  if (left() == 0) {
    short_ = true;
    return {};
  }
  const std::size_t end = bytes_.find('\0', at_);
  unended_ = unended_ || end == std::string_view::npos;
  const std::size_t stop = std::min(end, bytes_.size());
  std::string text(bytes_.substr(at_, std::min(stop - at_, most_text)));
  at_ = std::min(stop + 1, bytes_.size());
  return text;
}

std::string BlockReader::code(std::size_t size) {
  if (left() < size) {
    at_ = bytes_.size();
    short_ = true;
    return {};
  }
  std::string text(bytes_.substr(at_, size));
  at_ += size;
  return text;
}

BlockWriter& BlockWriter::number(std::uint32_t value, std::size_t size) {
  for (std::size_t i = 0; i < size; ++i) bytes_ += static_cast<char>(value >> (8 * i) & 0xFFU);
  return *this;
}

BlockWriter& BlockWriter::text(std::string_view text) {
  bytes_ += text.substr(0, text.find('\0'));
  bytes_ += '\0';
  return *this;
}

BlockWriter& BlockWriter::code(std::string_view text, std::size_t size) {
  std::string fixed(text.substr(0, size));
  fixed.resize(size, ' ');
  bytes_ += fixed;
  return *this;
}

}  // namespace strandbook
