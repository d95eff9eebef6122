#include "edge/exchange/application_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <map>
#include <system_error>

#include "edge/exchange/application_row.hpp"
#include "edge/exchange/file_bytes.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

ApplicationHead read_head(ObjectReader& object) {
  RuleDesk& desk = object.desk();
  ApplicationHead head;
  object.text_with_words("title");
  object.maybe_text("note");
  desk.document = object.text_with_words("document");
  desk.edition = object.text("edition");
  head.table = object.text_with_words("table");
  if (const JsonNode* family = object.wanted("family"))
    head.family = read_family(*family, desk).value_or(head.family);
  return head;
}

ApplicationTable read_rows(const JsonNode* list, const ApplicationHead& head, RuleDesk& desk) {
  ApplicationTable table;
  if (list == nullptr) return table;
  if (list->kind != JsonKind::list || list->items.empty())
    desk.tell(list->line, "\"applications\": " + words_of(*list), "a list with at least one row");
  Once rows;
  for (const JsonNode& item : list->items) {
    table.push_back(read_application_row(item, head, desk));
    rows.claim("row " + identity_of(table.back()), item.line, desk);
  }
  return table;
}

Result<std::vector<fs::path>> application_files(const std::string& folder) {
  std::error_code error;
  std::vector<fs::path> files;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
    if (at->path().extension() == ".json") files.push_back(at->path());
  const auto refused = [&](std::string found, std::string advice) {
    return Problem{{folder, {}, 0, {}}, std::move(found), "application files (*.json)", std::move(advice)};
  };
  if (error) return refused("a folder that cannot be read: " + error.message(), "Check its path.");
  if (files.empty()) return refused("no file", "Name the folder that holds the application tables.");
  std::sort(files.begin(), files.end());
  return files;
}

using FileOfRow = std::map<std::string, std::string>;

std::optional<Problem> claim_rows(const ApplicationTable& rows, const std::string& path, FileOfRow& files) {
  for (const Application& row : rows) {
    const auto [first, fresh] = files.emplace(identity_of(row), path);
    if (!fresh)
      return Problem{{path, {}, 0, {}},
                     fmt::format("a second row {} (the first is in {})", first->first, first->second),
                     "one only",
                     "Two rows that answer one question leave the limit open: take one out."};
  }
  return std::nullopt;
}

}  // namespace

Result<ApplicationTable> read_application_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> tree = parse_json(text, name);
  if (!tree) return tree.problem();
  RuleDesk desk(name);
  ObjectReader object(*tree, desk);
  const ApplicationHead head = read_head(object);
  ApplicationTable table = read_rows(object.wanted("applications"), head, desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return table;
}

Result<ApplicationTable> read_applications(const std::string& folder) {
  const auto files = application_files(folder);
  if (!files) return files.problem();
  ApplicationTable table;
  FileOfRow claimed;
  for (const fs::path& path : *files) {
    const Result<std::string> bytes = read_file_bytes(path.string());
    if (!bytes) return bytes.problem();
    Result<ApplicationTable> rows = read_application_text(*bytes, path.string());
    if (!rows) return rows.problem();
    if (auto problem = claim_rows(*rows, path.string(), claimed)) return *problem;
    std::move(rows->begin(), rows->end(), std::back_inserter(table));
  }
  return table;
}

}  // namespace strandbook
