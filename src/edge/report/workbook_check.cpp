#include "edge/report/workbook_check.hpp"

#include <fmt/format.h>
#include <zlib.h>

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "edge/report/mapped_file.hpp"

namespace strandbook {
namespace {

using Bytes = std::span<const unsigned char>;

// Layout of a zip package: PKWARE APPNOTE 4.3.7 (local header), 4.3.12 (directory), 4.3.16 (end).
constexpr std::size_t end_size = 22;
constexpr std::size_t entry_size = 46;
constexpr std::size_t local_size = 30;

std::uint32_t number_at(Bytes bytes, std::size_t at, int length) {
  std::uint32_t number = 0;
  for (int i = length - 1; i >= 0; --i) number = number << 8 | bytes[at + static_cast<std::size_t>(i)];
  return number;
}

struct Part {
  std::string_view name;
  Bytes packed;
  std::size_t size = 0;
};

/// What a part holds, counted while it is unpacked.
struct Content {
  std::size_t size = 0;
  std::size_t cells = 0;
  std::string tail;
};

/// Counts the beginnings of cells, also where one is cut between two pieces.
class CellCounter {
 public:
  void add(std::string_view piece) {
    constexpr std::string_view cell = "<c r=\"";
    const std::string text = carried_ + std::string(piece);
    for (std::size_t at = text.find(cell); at != std::string::npos; at = text.find(cell, at + 1))
      ++content_.cells;
    carried_ = text.size() < cell.size() ? text : text.substr(text.size() - cell.size() + 1);
    content_.size += piece.size();
    content_.tail =
        (content_.tail + std::string(piece.substr(piece.size() - std::min<std::size_t>(piece.size(), 16))));
    if (content_.tail.size() > 16) content_.tail.erase(0, content_.tail.size() - 16);
  }
  const Content& content() const { return content_; }

 private:
  std::string carried_;
  Content content_;
};

std::optional<Content> unpacked(Bytes packed) {
  z_stream stream{};
  if (inflateInit2(&stream, -MAX_WBITS) != Z_OK) return std::nullopt;
  stream.next_in = const_cast<unsigned char*>(packed.data());  // NOLINT: zlib reads only
  stream.avail_in = static_cast<uInt>(packed.size());
  CellCounter counter;
  std::array<unsigned char, 65536> buffer{};
  int state = Z_OK;
  while (state == Z_OK) {
    stream.next_out = buffer.data();
    stream.avail_out = buffer.size();
    state = inflate(&stream, Z_NO_FLUSH);
    const std::size_t got = buffer.size() - stream.avail_out;
    counter.add({reinterpret_cast<const char*>(buffer.data()), got});  // NOLINT: bytes as characters
  }
  inflateEnd(&stream);
  if (state != Z_STREAM_END) return std::nullopt;
  return counter.content();
}

std::optional<std::vector<Part>> parts_of(Bytes file) {
  if (file.size() < end_size || number_at(file, file.size() - end_size, 4) != 0x06054b50) return std::nullopt;
  const std::size_t end = file.size() - end_size;
  std::size_t at = number_at(file, end + 16, 4);
  std::vector<Part> parts(number_at(file, end + 10, 2));
  for (Part& part : parts) {
    if (at + entry_size > end || number_at(file, at, 4) != 0x02014b50) return std::nullopt;
    const std::size_t packed = number_at(file, at + 20, 4);
    const std::size_t name = number_at(file, at + 28, 2);
    const std::size_t local = number_at(file, at + 42, 4);
    if (at + entry_size + name > end || local + local_size > end) return std::nullopt;
    const std::size_t data =
        local + local_size + number_at(file, local + 26, 2) + number_at(file, local + 28, 2);
    if (data + packed > end) return std::nullopt;
    part = {{reinterpret_cast<const char*>(&file[at + entry_size]), name},  // NOLINT: bytes as characters
            file.subspan(data, packed),
            number_at(file, at + 24, 4)};
    at += entry_size + name + number_at(file, at + 30, 2) + number_at(file, at + 32, 2);
  }
  return parts;
}

/// 0-based number of a worksheet part; nothing for other parts.
std::optional<std::size_t> sheet_number(std::string_view name) {
  constexpr std::string_view start = "xl/worksheets/sheet";
  if (!name.starts_with(start)) return std::nullopt;
  std::size_t number = 0;
  for (const char letter : name.substr(start.size())) {
    if (letter < '0' || letter > '9') break;
    number = number * 10 + static_cast<std::size_t>(letter - '0');
  }
  return number - 1;
}

std::optional<std::string> damage_of(const Part& part, const std::vector<std::size_t>& cells) {
  const auto content = unpacked(part.packed);
  if (!content || content->size != part.size) return fmt::format("{} is cut off", part.name);
  const std::size_t last = content->tail.find_last_not_of("\r\n ");
  if (last == std::string::npos || content->tail[last] != '>') return fmt::format("{} is cut off", part.name);
  const auto sheet = sheet_number(part.name);
  if (!sheet) return std::nullopt;
  const std::size_t wanted = *sheet < cells.size() ? cells[*sheet] : 0;
  if (content->cells == wanted && content->tail.find("</worksheet>") != std::string::npos)
    return std::nullopt;
  return fmt::format("{} has {} of {} cells", part.name, content->cells, wanted);
}

}  // namespace

std::optional<std::string> damage_of(const std::string& path, const std::vector<std::size_t>& cells) {
  const auto file = MappedFile::open(path);
  if (!file) return file.problem().found;
  const auto parts = parts_of(file->bytes());
  if (!parts) return "the package has no whole directory";
  std::size_t sheets = 0;
  for (const Part& part : *parts) {
    if (auto damage = damage_of(part, cells)) return damage;
    sheets += sheet_number(part.name) ? 1 : 0;
  }
  if (sheets != cells.size()) return "a sheet is missing";
  return std::nullopt;
}

}  // namespace strandbook
