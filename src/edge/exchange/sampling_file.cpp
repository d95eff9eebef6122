#include "edge/exchange/sampling_file.hpp"

#include <algorithm>
#include <charconv>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr NumberKind lot_number{"1", 2, 4e9};
constexpr NumberKind sample_number{"1", 1, 1e6};
constexpr NumberKind quality_number{"%", 0.001, 50};
constexpr std::array severities = {InspectionSeverity::normal, InspectionSeverity::tightened};

PlanCell read_cell(const std::string& text, std::size_t line, RuleDesk& desk) {
  if (text == ">") return {PlanCell::Kind::use_next_below, 0};
  if (text == "<") return {PlanCell::Kind::use_next_above, 0};
  PlanCell cell;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), cell.accept);
  if (error != std::errc{} || end != text.data() + text.size())
    desk.tell(line, "\"" + text + "\"", "an acceptance number, \">\" or \"<\"");
  return cell;
}

std::vector<PlanColumn> read_plan_column(ObjectReader& object, std::size_t letters) {
  RuleDesk& desk = object.desk();
  PlanColumn column;
  column.aql_percent = plain_number(object.wanted("aql"), quality_number, desk);
  column.severity = wanted_choice(object, "severity", severities).value_or(InspectionSeverity::normal);
  for (const std::string& cell : read_texts(object.wanted("cells"), desk))
    column.cells.push_back(read_cell(cell, object.line(), desk));
  column.source = read_source(object);
  if (column.cells.size() != letters)
    desk.tell(object.line(), fmt::format("{} cells", column.cells.size()),
              fmt::format("{}, one for each letter", letters));
  return {column};
}

std::vector<CodeLetterRow> read_lot_row(ObjectReader& object, const std::vector<std::string>& letters) {
  RuleDesk& desk = object.desk();
  CodeLetterRow row;
  row.lot_most = static_cast<std::uint32_t>(plain_number(object.wanted("most"), lot_number, desk));
  for (const char* level : {"I", "II", "III"}) {
    row.letters.push_back(object.text_with_words(level));
    if (std::find(letters.begin(), letters.end(), row.letters.back()) == letters.end())
      desk.tell(object.line(), "letter \"" + row.letters.back() + "\"", "one of the table's letters");
  }
  return {row};
}

void check_order(const SamplingScheme& scheme, std::size_t line, RuleDesk& desk) {
  const auto rising = [](const CodeLetterRow& a, const CodeLetterRow& b) { return a.lot_most >= b.lot_most; };
  if (std::adjacent_find(scheme.lots.begin(), scheme.lots.end(), rising) != scheme.lots.end())
    desk.tell(line, "lots that do not rise", "lots from the smallest to the largest");
  if (std::adjacent_find(scheme.sizes.begin(), scheme.sizes.end(), std::greater_equal<>()) !=
          scheme.sizes.end() ||
      scheme.sizes.size() != scheme.letters.size())
    desk.tell(line, "sample sizes that do not rise", "one size for each letter, rising");
}

void check_once(const SamplingScheme& scheme, std::size_t line, RuleDesk& desk) {
  Once once;
  for (const PlanColumn& column : scheme.columns)
    once.claim(fmt::format("{:g} %, {}", column.aql_percent, text_of(column.severity)), line, desk);
}

Result<SamplingScheme> scheme_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  ObjectReader object(root, desk);
  SamplingScheme scheme;
  object.text_with_words("title");
  desk.document = object.text_with_words("document");
  desk.edition = object.text("edition");
  object.maybe_text("note");
  scheme.letters = read_texts(object.wanted("letters"), desk);
  SourcedNumbers sizes = read_numbers(object.wanted("sizes"), sample_number, desk);
  for (const double size : sizes.values) scheme.sizes.push_back(static_cast<std::uint32_t>(size));
  scheme.source = std::move(sizes.source);
  scheme.lots = read_table<CodeLetterRow>(
      object.wanted("lots"), desk, [&](ObjectReader& row) { return read_lot_row(row, scheme.letters); });
  if (const JsonNode* node = object.wanted("lots_source")) {
    ObjectReader source(*node, desk);
    read_source(source);
    source.finish();
  }
  scheme.columns = read_table<PlanColumn>(object.wanted("plans"), desk, [&](ObjectReader& row) {
    return read_plan_column(row, scheme.letters.size());
  });
  check_order(scheme, root.line, desk);
  check_once(scheme, root.line, desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return scheme;
}

}  // namespace

Result<SamplingScheme> read_sampling_scheme_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return scheme_of(*root, name);
}

Result<SamplingScheme> read_sampling_scheme(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return scheme_of(*root, path);
}

}  // namespace strandbook
