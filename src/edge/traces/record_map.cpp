#include "edge/traces/record_map.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/traces/record_bytes.hpp"

namespace strandbook {
namespace {

using namespace std::string_view_literals;

constexpr std::string_view version_2_sign = "Map\0"sv;

struct MapEntry {
  std::string name;
  std::uint16_t revision = 0;
  std::int32_t size = 0;
};

bool begins_with_name(std::string_view bytes, std::size_t at, std::string_view name) {
  return at < bytes.size() && bytes.substr(at, name.size()) == name && at + name.size() < bytes.size() &&
         bytes[at + name.size()] == '\0';
}

/// The only place after `from` where the block's name stands with its zero byte.
std::size_t search_name(std::string_view bytes, std::size_t from, const std::string& name) {
  if (name.empty()) return std::string_view::npos;
  const std::string wanted = name + '\0';
  const std::size_t first = bytes.find(wanted, from);
  if (first == std::string_view::npos) return first;
  return bytes.find(wanted, first + 1) == std::string_view::npos ? first : std::string_view::npos;
}

bool plausible_version_1(std::string_view bytes) {
  BlockReader map(bytes);
  const std::uint16_t revision = map.u16();
  const std::int32_t size = map.i32();
  const std::int16_t count = map.i16();
  return !map.short_of_bytes() && revision >= 100 && revision < 200 && size >= 8 &&
         static_cast<std::size_t>(size) <= bytes.size() && count >= 2 &&
         static_cast<std::size_t>(count) <= most_blocks;
}

/// Walks the entries of the map and places each block in the file.
class MapWalk {
 public:
  MapWalk(std::string_view bytes, const std::string& file, RecordMap& map, std::vector<Problem>& warnings)
      : bytes_(bytes), file_(file), map_(map), warnings_(warnings) {}

  void place(const MapEntry& entry) {
    std::size_t start = next_;
    if (map_.version == RecordVersion::two && !begins_with_name(bytes_, start, entry.name))
      start = search(entry);
    if (start >= bytes_.size()) {
      warn(entry.name, lost_ ? "a block that cannot be found" : "a block beyond the end of the file",
           "every block of the map in the file", "The block was left out. Ask for the file again.");
      return;
    }
    std::size_t size = bytes_.size() - start;
    const bool sound = entry.size > 0 && static_cast<std::size_t>(entry.size) <= size;
    if (sound) size = static_cast<std::size_t>(entry.size);
    if (!sound) {
      warn(entry.name, fmt::format("a size of {} bytes in the map", entry.size),
           fmt::format("1 to {}, what the file still holds", size),
           "The block was read as far as the file goes.");
      lost_ = true;
    }
    map_.blocks.push_back({entry.name, entry.revision, start, bytes_.substr(start, size)});
    next_ = start + size;
  }

  void set_start(std::size_t start, std::size_t entries_end) {
    next_ = start;
    first_ = entries_end;
  }

 private:
  std::size_t search(const MapEntry& entry) {
    const std::size_t found = search_name(bytes_, first_, entry.name);
    if (found == std::string_view::npos) {
      warn(entry.name, "another name where the block should begin", "the block's own name",
           "It was read where the map puts it.");
      return next_;
    }
    warn(entry.name, fmt::format("the block at byte {}", found),
         fmt::format("at byte {}, as the map says", next_), "It was read where its name stands.");
    cut_block_before(found);
    return found;
  }

  /// A block whose size was wrong must not reach into the one that was found by its name.
  void cut_block_before(std::size_t found) {
    for (FoundBlock& block : map_.blocks)
      if (block.start < found && found < block.start + block.bytes.size())
        block.bytes = bytes_.substr(block.start, found - block.start);
  }

  void warn(const std::string& block, std::string found, std::string wanted, std::string advice) {
    warnings_.push_back(record_problem(file_, block, std::move(found), std::move(wanted), std::move(advice)));
  }

  std::string_view bytes_;
  const std::string& file_;
  RecordMap& map_;
  std::vector<Problem>& warnings_;
  std::size_t first_ = 0;  ///< behind the entries, where names begin blocks
  std::size_t next_ = 0;
  bool lost_ = false;
};

}  // namespace

Problem record_problem(const std::string& file, std::string_view block, std::string found, std::string wanted,
                       std::string advice) {
  return {{file, block.empty() ? std::string() : fmt::format("block {}", block), 0, {}},
          std::move(found),
          std::move(wanted),
          std::move(advice)};
}

bool is_trace_record(std::string_view bytes) {
  return bytes.substr(0, version_2_sign.size()) == version_2_sign || plausible_version_1(bytes);
}

Result<RecordMap> read_record_map(std::string_view bytes, const std::string& file,
                                  std::vector<Problem>& warnings) {
  if (!is_trace_record(bytes))
    return record_problem(file, {}, "a file that does not begin like a trace record",
                          "a trace in the trade's exchange form, version 1 or 2, or an otdr-table",
                          "Export the trace again from the instrument in its exchange form.");
  RecordMap map;
  const bool named = bytes.substr(0, version_2_sign.size()) == version_2_sign;
  map.version = named ? RecordVersion::two : RecordVersion::one;
  BlockReader reader(bytes);
  if (named) reader.text();
  map.revision = reader.u16();
  const std::int32_t size = reader.i32();
  const std::int16_t count = reader.i16();
  if (reader.short_of_bytes() || count < 2 || static_cast<std::size_t>(count) > most_blocks)
    return record_problem(file, "Map", fmt::format("{} blocks", count), fmt::format("2 to {}", most_blocks),
                          "The file is cut off or damaged. Export the trace again.");
  std::vector<MapEntry> entries;
  for (int i = 1; i < count && !reader.short_of_bytes(); ++i) {
    MapEntry entry;
    entry.name = reader.text();
    entry.revision = reader.u16();
    entry.size = reader.i32();
    if (!reader.short_of_bytes()) entries.push_back(std::move(entry));
  }
  const std::size_t read = bytes.size() - reader.left();
  std::size_t start = static_cast<std::size_t>(std::max(size, std::int32_t{0}));
  if (start < read || start >= bytes.size()) {
    warnings.push_back(record_problem(file, "Map", fmt::format("a map of {} bytes", size),
                                      fmt::format("{} bytes, as its entries take", read),
                                      "Its blocks were looked for behind the entries."));
    start = read;
  }
  MapWalk walk(bytes, file, map, warnings);
  walk.set_start(start, read);
  for (const MapEntry& entry : entries) walk.place(entry);
  return map;
}

}  // namespace strandbook
