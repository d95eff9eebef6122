#include "domain/readings/reading.hpp"

namespace strandbook {

std::string_view ReadingSet::keep_text(std::string text) {
  auto held = std::make_shared<const std::string>(std::move(text));
  const std::string_view view = *held;
  keep(std::move(held));
  return view;
}

void ReadingSet::append(ReadingSet&& other) {
  const auto offset = static_cast<std::uint32_t>(files.size());
  for (Reading& reading : other.rows) reading.file += offset;
  if (rows.empty()) {
    rows = std::move(other.rows);
  } else {
    rows.insert(rows.end(), other.rows.begin(), other.rows.end());
  }
  files.insert(files.end(), other.files.begin(), other.files.end());
  kept_.insert(kept_.end(), other.kept_.begin(), other.kept_.end());
  other = ReadingSet{};
}

Place ReadingSet::place_of(const Reading& reading) const {
  const SourceFile source = reading.file < files.size() ? files[reading.file] : SourceFile{};
  return {source.file, source.sheet, reading.row, column_letters(reading.column)};
}

}  // namespace strandbook
