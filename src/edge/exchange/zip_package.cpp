#include "edge/exchange/zip_package.hpp"

#include <zlib.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "edge/exchange/workbook_problem.hpp"

namespace strandbook {
namespace {

constexpr std::string_view kDirectoryEnd = "PK\x05\x06";
constexpr std::string_view kDirectoryEntry = "PK\x01\x02";
constexpr std::string_view kPartHeader = "PK\x03\x04";
constexpr std::size_t kDirectoryEndSize = 22;
constexpr std::size_t kDirectoryEntrySize = 46;
constexpr std::size_t kPartHeaderSize = 30;
constexpr std::uint16_t kStored = 0;
constexpr std::uint16_t kDeflated = 8;
constexpr std::uint16_t kEncryptedFlag = 1;
constexpr std::size_t kDeflateBest = 1032;  // deflate never shrinks more than so many times

std::uint32_t byte_at(std::string_view bytes, std::size_t at) {
  return static_cast<unsigned char>(bytes[at]);
}
std::uint16_t u16(std::string_view bytes, std::size_t at) {
  return static_cast<std::uint16_t>(byte_at(bytes, at) | (byte_at(bytes, at + 1) << 8U));
}
std::uint32_t u32(std::string_view bytes, std::size_t at) {
  return static_cast<std::uint32_t>(u16(bytes, at)) | (static_cast<std::uint32_t>(u16(bytes, at + 2)) << 16U);
}
bool holds(std::string_view bytes, std::size_t at, std::size_t length) {
  return at <= bytes.size() && length <= bytes.size() - at;
}

/// Inflates in steps, so that a false size in the directory allocates nothing.
class Inflater {
 public:
  Inflater() { ready_ = inflateInit2(&stream_, -MAX_WBITS) == Z_OK; }
  ~Inflater() {
    if (ready_) inflateEnd(&stream_);
  }
  Inflater(const Inflater&) = delete;
  Inflater& operator=(const Inflater&) = delete;

  /// The whole stream, if it ends properly and gives exactly `size` bytes.
  std::optional<std::string> inflate_to(std::string_view packed, std::size_t size) {
    if (!ready_) return std::nullopt;
    std::string out(std::min(size, packed.size() * kDeflateBest) + 1, '\0');
    stream_.next_in =
        reinterpret_cast<Bytef*>(const_cast<char*>(packed.data()));  // zlib does not write to it
    stream_.avail_in = static_cast<uInt>(packed.size());
    stream_.next_out = reinterpret_cast<Bytef*>(out.data());
    stream_.avail_out = static_cast<uInt>(out.size());
    const int result = inflate(&stream_, Z_FINISH);
    if (result != Z_STREAM_END || stream_.total_out != size) return std::nullopt;
    out.resize(size);
    return out;
  }

 private:
  z_stream stream_{};
  bool ready_ = false;
};

std::uint32_t crc_of(std::string_view bytes) {
  return static_cast<std::uint32_t>(
      crc32(0, reinterpret_cast<const Bytef*>(bytes.data()), static_cast<uInt>(bytes.size())));
}

}  // namespace

Result<ZipPackage> ZipPackage::open(std::string_view bytes, const std::string& file) {
  ZipPackage package(bytes, file);
  Result<Done> directory = package.read_directory();
  if (!directory) return directory.problem();
  return package;
}

Result<Done> ZipPackage::read_directory() {
  const std::size_t end = bytes_.rfind(kDirectoryEnd);
  if (end == std::string_view::npos || !holds(bytes_, end, kDirectoryEndSize))
    return damaged_workbook(file_, "its end is missing");
  const std::size_t count = u16(bytes_, end + 10);
  std::size_t at = u32(bytes_, end + 16);
  for (std::size_t i = 0; i < count; ++i) {
    if (!holds(bytes_, at, kDirectoryEntrySize) || bytes_.substr(at, 4) != kDirectoryEntry)
      return damaged_workbook(file_, "its directory is broken");
    const std::size_t name_length = u16(bytes_, at + 28);
    if (!holds(bytes_, at + kDirectoryEntrySize, name_length))
      return damaged_workbook(file_, "its directory is broken");
    const Part part{u32(bytes_, at + 42), u32(bytes_, at + 20), u32(bytes_, at + 24),
                    u32(bytes_, at + 16), u16(bytes_, at + 10), u16(bytes_, at + 8)};
    parts_.emplace(bytes_.substr(at + kDirectoryEntrySize, name_length), part);
    at += kDirectoryEntrySize + name_length + u16(bytes_, at + 30) + u16(bytes_, at + 32);
  }
  return Done{};
}

Result<std::string> ZipPackage::read(const std::string& name) {
  const auto found = parts_.find(name);
  if (found == parts_.end()) return damaged_workbook(file_, "its part " + name + " is missing");
  const Part& part = found->second;
  if ((part.flags & kEncryptedFlag) != 0) return encrypted_workbook(file_);
  if (!holds(bytes_, part.header, kPartHeaderSize) || bytes_.substr(part.header, 4) != kPartHeader)
    return damaged_workbook(file_, "its part " + name + " is not where it should be");
  const std::size_t data = std::size_t{part.header} + kPartHeaderSize + u16(bytes_, part.header + 26) +
                           u16(bytes_, part.header + 28);
  if (!holds(bytes_, data, part.packed)) return damaged_workbook(file_, "its part " + name + " is cut off");
  if (part.unpacked > left_) return oversized_workbook(file_, "it unpacks to more than 1 GB");
  left_ -= part.unpacked;
  Result<std::string> content = unpack(part, bytes_.substr(data, part.packed));
  if (content && crc_of(*content) == part.crc) return content;
  return damaged_workbook(file_, "the content of its part " + name + " is broken");
}

Result<std::string> ZipPackage::unpack(const Part& part, std::string_view packed) const {
  if (part.method == kStored && packed.size() == part.unpacked) return std::string(packed);
  if (part.method == kDeflated) {
    if (auto content = Inflater().inflate_to(packed, part.unpacked)) return *std::move(content);
  }
  return damaged_workbook(file_, "a part does not unpack");
}

}  // namespace strandbook
