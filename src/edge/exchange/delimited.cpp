#include "edge/exchange/delimited.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <memory>
#include <optional>
#include <utility>

#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/delimiter.hpp"
#include "edge/exchange/text_encoding.hpp"

namespace strandbook {
namespace {

constexpr std::size_t kLargestFile = std::size_t{1} << 40U;
// A cell of so many lines is not something a person typed: two stray quotes far apart make one.
constexpr std::size_t kMostLinesInCell = 200;

constexpr std::uint64_t in_every_byte(char c) { return 0x0101010101010101U * static_cast<unsigned char>(c); }

/// High bit of each byte of `word` that is zero, and of no other.
constexpr std::uint64_t zero_bytes(std::uint64_t word) {
  constexpr std::uint64_t low = 0x7F7F7F7F7F7F7F7FU;
  return ~(((word & low) + low) | word | low);
}

/// Finds the next delimiter or line end, eight bytes at a time.
class CellEnd {
 public:
  explicit CellEnd(char delimiter) : delimiter_(delimiter), pattern_(in_every_byte(delimiter)) {}

  std::size_t find(const char* text, std::size_t at, std::size_t size) const {
    if constexpr (std::endian::native == std::endian::little) {
      for (; at + 8 <= size; at += 8) {
        std::uint64_t word = 0;
        std::memcpy(&word, text + at, sizeof word);
        const std::uint64_t hits = zero_bytes(word ^ pattern_) | zero_bytes(word ^ in_every_byte('\n')) |
                                   zero_bytes(word ^ in_every_byte('\r'));
        if (hits != 0) return at + static_cast<std::size_t>(std::countr_zero(hits)) / 8;
      }
    }
    while (at < size && !is_end(text[at])) ++at;
    return at;
  }
  bool is_end(char c) const { return c == delimiter_ || c == '\n' || c == '\r'; }
  bool is_delimiter(char c) const { return c == delimiter_ && c != '\n'; }

 private:
  char delimiter_;
  std::uint64_t pattern_;
};

class DelimitedReader {
 public:
  DelimitedReader(std::string& text, const CellEnd& cell_end, Grid& grid)
      : text_(text), size_(text.size()), cell_end_(cell_end), grid_(grid) {}

  std::optional<Problem> read_from(std::size_t start) {
    at_ = start;
    while (at_ < size_) {
      grid_.begin_row();
      if (text_[at_] != '\n' && text_[at_] != '\r') read_row();
      if (problem_) return std::move(problem_);
      end_line();
    }
    return std::nullopt;
  }

 private:
  /// Leaves at_ on the line end or behind the text.
  void read_row() {
    while (!problem_) {
      read_cell();
      if (at_ >= size_ || !cell_end_.is_delimiter(text_[at_])) return;
      ++at_;
    }
  }
  void read_cell() {
    if (at_ < size_ && text_[at_] == '"') return read_quoted();
    const std::size_t end = cell_end_.find(text_.data(), at_, size_);
    add(at_, end - at_);
    at_ = end;
  }
  void add(std::size_t offset, std::size_t length) {
    if (length > Grid::longest_cell) return fail_too_long();
    grid_.add_cell(offset, length);
  }
  void end_line() {
    if (at_ + 1 < size_ && text_[at_] == '\r' && text_[at_ + 1] == '\n') ++at_;
    ++at_;
  }

  /// Closes up doubled quotes within the cell's own bytes, so that no text is copied elsewhere.
  void read_quoted() {
    const std::size_t open = at_;
    std::size_t source = open + 1;
    std::size_t target = source;
    for (;;) {
      const std::size_t quote = text_.find('"', source);
      if (quote == std::string::npos) return fail_never_closed();
      const bool doubled = quote + 1 < size_ && text_[quote + 1] == '"';
      target = move_down(source, doubled ? quote + 1 : quote, target);
      source = quote + (doubled ? 2 : 1);
      if (!doubled) break;
    }
    if (swallows_rows(open, source)) return fail_never_closed();
    const std::size_t end = cell_end_.find(text_.data(), source, size_);
    target = move_down(source, end, target);
    add(open + 1, target - open - 1);
    at_ = end;
  }
  std::size_t move_down(std::size_t from, std::size_t to, std::size_t target) {
    if (from != target) std::memmove(text_.data() + target, text_.data() + from, to - from);
    return target + (to - from);
  }
  /// A quoted cell over several lines whose end is not the end of a cell is a stray quote and the next one.
  bool swallows_rows(std::size_t open, std::size_t closed) const {
    const std::string_view cell(text_.data() + open, closed - open);
    if (cell.find_first_of("\n\r") == std::string_view::npos) return false;
    const auto lines = static_cast<std::size_t>(std::count(cell.begin(), cell.end(), '\n'));
    return lines > kMostLinesInCell || (closed < size_ && !cell_end_.is_end(text_[closed]));
  }

  void fail_never_closed() {
    problem_ =
        Problem{grid_.place(grid_.rows() - 1), "a quote (\") opened here is never closed",
                "quotes in pairs around a cell",
                "close the quote, or remove it, in this row; within a quoted cell write it twice (\"\")"};
  }
  void fail_too_long() {
    problem_ =
        Problem{grid_.place(grid_.rows() - 1), "a cell longer than 16 million characters",
                "cells of ordinary length", "look whether the line ends or the delimiters are missing here"};
  }

  std::string& text_;
  std::size_t size_;
  const CellEnd& cell_end_;
  Grid& grid_;
  std::size_t at_ = 0;
  std::optional<Problem> problem_;
};

bool is_blank(std::string_view text) {
  return text.find_first_not_of(" \t\r\n\v\f") == std::string_view::npos;
}

Problem nothing_in(const std::string& file) {
  return {{file, {}, 0, {}},
          "nothing in the file",
          "a table with a heading row",
          "export the table again and look at the file's size"};
}

Problem web_page(const std::string& file) {
  return {{file, {}, 0, {}},
          "a web page or other XML, not a table",
          "delimited text (CSV), XLSX or ODS",
          "open it in the spreadsheet program and save it as XLSX or ODS"};
}

bool looks_like_markup(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return false;
  text = text.substr(first);
  constexpr std::array<std::string_view, 3> beginnings{"<?xml", "<!doctype", "<html"};
  return std::any_of(beginnings.begin(), beginnings.end(), [text](std::string_view beginning) {
    return text.size() >= beginning.size() &&
           std::equal(beginning.begin(), beginning.end(), text.begin(),
                      [](char wanted, char found) { return in_lower_case(found) == wanted; });
  });
}

/// Room for as many cells as the first part of the file lets expect; growing by doubling costs more than
/// reading.
void reserve_for(Grid& grid, std::string_view text, const CellEnd& cell_end) {
  const std::string_view sample = text.substr(0, sample_bytes);
  const auto rows = static_cast<double>(std::count(sample.begin(), sample.end(), '\n'));
  const auto ends = static_cast<double>(
      std::count_if(sample.begin(), sample.end(), [&](char c) { return cell_end.is_delimiter(c); }));
  const double times =
      1.05 * static_cast<double>(text.size()) / static_cast<double>(std::max<std::size_t>(1, sample.size()));
  grid.reserve(static_cast<std::size_t>(rows * times) + 2,
               static_cast<std::size_t>((rows + ends) * times) + 2);
}

/// Where the table's own rows begin; the "sep=" line stays as a blank row so that row numbers hold.
std::size_t skip_stated_line(std::string_view text, std::size_t start, Grid& grid) {
  grid.begin_row();
  const std::size_t end = text.find_first_of("\r\n", start);
  if (end == std::string_view::npos) return text.size();
  return text.substr(end).starts_with("\r\n") ? end + 2 : end + 1;
}

void drop_end_of_file_sign(std::string& text) {
  while (!text.empty() && text.back() == '\x1A') text.pop_back();
}

}  // namespace

Result<Grid> read_delimited(std::string bytes, const std::string& file) {
  if (bytes.size() > kLargestFile)
    return Problem{
        {file, {}, 0, {}}, "a file larger than 1 TB", "a table of cables or readings", "split the file"};
  Result<DecodedText> decoded = decode_text(std::move(bytes), file);
  if (!decoded) return decoded.problem();
  const auto buffer = std::make_shared<std::string>(std::move(decoded->text));
  drop_end_of_file_sign(*buffer);
  std::size_t start = std::min(decoded->start, buffer->size());
  const std::string_view text = std::string_view(*buffer).substr(start);
  if (is_blank(text)) return nothing_in(file);
  if (looks_like_markup(text)) return web_page(file);

  const Delimiter delimiter = find_delimiter(text);
  const CellEnd cell_end(delimiter.character.value_or('\n'));
  Grid grid(file, {}, buffer);
  grid.how_read = decoded->how + "; " + describe(delimiter);
  reserve_for(grid, text, cell_end);
  if (delimiter.stated) start = skip_stated_line(*buffer, start, grid);
  if (auto problem = DelimitedReader(*buffer, cell_end, grid).read_from(start)) return *std::move(problem);
  return grid;
}

}  // namespace strandbook
