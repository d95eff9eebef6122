#include "edge/exchange/test_windows_file.hpp"

#include <fmt/format.h>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

std::string words_of(const TestWindow& row) {
  return fmt::format("{} reading at {} nm for {} to {} nm", text_of(row.mode), row.reading.value,
                     row.from.value, row.to.value);
}

TestWindow read_window_row(const JsonNode& node, RuleDesk& desk) {
  ObjectReader object(node, desk);
  const auto wavelength = [&](std::string_view key) {
    return Nanometres{plain_number(object.wanted(key), wavelength_number, desk)};
  };
  TestWindow row;
  if (const JsonNode* mode = object.wanted("mode"))
    row.mode = read_choice(*mode, fibre_modes, desk).value_or(FibreMode::single_mode);
  row.reading = wavelength("reading_nm");
  row.from = wavelength("from_nm");
  row.to = wavelength("to_nm");
  if (const JsonNode* rise = object.maybe("rise_below_nm"))
    row.rise_below = Nanometres{plain_number(rise, wavelength_number, desk)};
  row.source = read_source(object);
  object.finish();
  if (row.to < row.from) desk.tell(node.line, words_of(row), "\"from_nm\" that is not above \"to_nm\"");
  return row;
}

std::vector<TestWindow> read_rows(const JsonNode* list, RuleDesk& desk) {
  std::vector<TestWindow> rows;
  if (list == nullptr) return rows;
  if (list->kind != JsonKind::list || list->items.empty())
    desk.tell(list->line, strandbook::words_of(*list), "a list of rows");
  Once once;
  for (const JsonNode& item : list->items) {
    rows.push_back(read_window_row(item, desk));
    once.claim(words_of(rows.back()), item.line, desk);
  }
  return rows;
}

bool contradict(const TestWindow& may, const TestWindow& never) {
  return may.mode == never.mode && may.reading == never.reading && may.from <= never.to &&
         never.from <= may.to;
}

void check_never(const TestWindows& windows, std::size_t line, RuleDesk& desk) {
  for (const TestWindow& may : windows.may)
    for (const TestWindow& never : windows.never)
      if (contradict(may, never))
        desk.tell(line, words_of(may), "no row that \"never\" forbids: " + words_of(never));
}

Result<TestWindows> windows_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  desk.owner = RuleOwner::own;  // a job may put its own windows here
  ObjectReader object(root, desk);
  object.maybe_text("note");
  TestWindows windows;
  const JsonNode* may = object.wanted("may_stand");
  windows.may = read_rows(may, desk);
  windows.never = read_rows(object.wanted("never"), desk);
  if (may != nullptr) check_never(windows, may->line, desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return windows;
}

}  // namespace

Result<TestWindows> read_test_windows_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return windows_of(*root, name);
}

Result<TestWindows> read_test_windows(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return windows_of(*root, path);
}

}  // namespace strandbook
