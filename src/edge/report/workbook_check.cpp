#include "edge/report/workbook_check.hpp"

#include <fmt/format.h>
#include <zip.h>

#include <array>
#include <memory>
#include <string_view>

namespace strandbook {
namespace {

using Archive = std::unique_ptr<zip_t, decltype([](zip_t* archive) { zip_discard(archive); })>;
using Entry = std::unique_ptr<zip_file_t, decltype([](zip_file_t* file) { zip_fclose(file); })>;

/// What a part holds, counted while it is unpacked.
struct Content {
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
    content_.tail =
        (content_.tail + std::string(piece.substr(piece.size() - std::min<std::size_t>(piece.size(), 16))));
    if (content_.tail.size() > 16) content_.tail.erase(0, content_.tail.size() - 16);
  }
  const Content& content() const { return content_; }

 private:
  std::string carried_;
  Content content_;
};

/// Nothing where the part is cut off or differs from its checksum.
std::optional<Content> unpacked(zip_t* archive, zip_uint64_t index) {
  const Entry entry(zip_fopen_index(archive, index, 0));
  if (!entry) return std::nullopt;
  CellCounter counter;
  std::array<char, 65536> buffer{};
  zip_int64_t got = 0;
  while ((got = zip_fread(entry.get(), buffer.data(), buffer.size())) > 0)
    counter.add({buffer.data(), static_cast<std::size_t>(got)});
  if (got < 0) return std::nullopt;
  return counter.content();
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

std::optional<std::string> damage_of(std::string_view name, const std::optional<Content>& content,
                                     const std::vector<std::size_t>& cells) {
  if (!content) return fmt::format("{} is cut off", name);
  const std::size_t last = content->tail.find_last_not_of("\r\n ");
  if (last == std::string::npos || content->tail[last] != '>') return fmt::format("{} is cut off", name);
  const auto sheet = sheet_number(name);
  if (!sheet) return std::nullopt;
  const std::size_t wanted = *sheet < cells.size() ? cells[*sheet] : 0;
  if (content->cells == wanted && content->tail.find("</worksheet>") != std::string::npos)
    return std::nullopt;
  return fmt::format("{} has {} of {} cells", name, content->cells, wanted);
}

}  // namespace

std::optional<std::string> damage_of(const std::string& path, const std::vector<std::size_t>& cells) {
  const Archive archive(zip_open(path.c_str(), ZIP_RDONLY | ZIP_CHECKCONS, nullptr));
  if (!archive) return "the package has no whole directory";
  std::size_t sheets = 0;
  const auto parts = static_cast<zip_uint64_t>(zip_get_num_entries(archive.get(), 0));
  for (zip_uint64_t i = 0; i < parts; ++i) {
    const std::string_view name = zip_get_name(archive.get(), i, 0);
    if (auto damage = damage_of(name, unpacked(archive.get(), i), cells)) return damage;
    sheets += sheet_number(name) ? 1 : 0;
  }
  if (sheets != cells.size()) return "a sheet is missing";
  return std::nullopt;
}

}  // namespace strandbook
