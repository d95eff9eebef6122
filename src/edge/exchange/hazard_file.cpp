#include "edge/exchange/hazard_file.hpp"

#include <fmt/format.h>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr NumberKind hazard_level_number{"dBm", -30, 60};

void check_rising(const std::optional<Sourced<PowerDbm>>& low, const std::optional<Sourced<PowerDbm>>& high,
                  std::size_t line, RuleDesk& desk) {
  if (low && high && high->value < low->value)
    desk.tell(line, fmt::format("{} dBm before {} dBm", low->value.value, high->value.value),
              "levels that rise from 1 over 1M to 3B");
}

HazardRow read_hazard_row(const JsonNode& node, RuleDesk& desk) {
  ObjectReader object(node, desk);
  HazardRow row;
  if (const JsonNode* mode = object.wanted("mode"))
    row.mode = read_choice(*mode, fibre_modes, desk).value_or(FibreMode::single_mode);
  row.wavelength = {plain_number(object.wanted("wavelength_nm"), wavelength_number, desk)};
  row.place = object.text_with_words("place");
  row.level_1 = maybe_sourced<PowerDbm>(object, "level_1", hazard_level_number);
  row.level_1m = maybe_sourced<PowerDbm>(object, "level_1m", hazard_level_number);
  row.level_3b = maybe_sourced<PowerDbm>(object, "level_3b", hazard_level_number);
  object.finish();
  if (!row.level_1 && !row.level_1m && !row.level_3b)
    desk.tell(node.line, "a row without a level", "\"level_1\", \"level_1m\" or \"level_3b\"");
  check_rising(row.level_1, row.level_1m, node.line, desk);
  check_rising(row.level_1, row.level_3b, node.line, desk);
  check_rising(row.level_1m, row.level_3b, node.line, desk);
  return row;
}

void read_rows(const JsonNode* list, HazardTable& table, RuleDesk& desk) {
  if (list == nullptr) return;
  if (list->kind != JsonKind::list) desk.tell(list->line, words_of(*list), "a list of rows");
  Once rows;
  for (const JsonNode& item : list->items) {
    table.rows.push_back(read_hazard_row(item, desk));
    const HazardRow& row = table.rows.back();
    rows.claim(fmt::format("{} {} nm, {}", text_of(row.mode), row.wavelength.value, row.place), item.line,
               desk);
  }
}

Result<HazardTable> hazards_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  ObjectReader object(root, desk);
  object.text_with_words("title");
  object.maybe_text("note");
  desk.document = object.text_with_words("document");
  desk.edition = object.text("edition");
  HazardTable table;
  // A level without its cautions would be read as leave to look.
  table.cautions = read_texts(object.wanted("cautions"), desk);
  read_rows(object.wanted("levels"), table, desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return table;
}

}  // namespace

Result<HazardTable> read_hazards_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return hazards_of(*root, name);
}

Result<HazardTable> read_hazards(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return hazards_of(*root, path);
}

}  // namespace strandbook
