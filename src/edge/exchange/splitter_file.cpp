#include "edge/exchange/splitter_file.hpp"

#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/rule_reader.hpp"

namespace strandbook {
namespace {

constexpr NumberKind outputs_number{"", 2, 1024};
constexpr NumberKind splitter_number{"dB", 0, 40};
constexpr NumberKind spread_number{"dB", 0, 10};

SplitterRow read_splitter_row(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  SplitterRow row;
  row.outputs = whole_number(object.wanted("outputs"), outputs_number, desk);
  const SourcedNumber loss = read_number(object.wanted("loss"), splitter_number, desk);
  row.value = {loss.value};
  row.source = loss.source;
  if (!desk.first_problem() && row.value < ideal_splitter_loss(row.outputs))
    desk.tell(item.line, "less than an even share loses", "at least 10·log10(outputs) dB");
  object.finish();
  return row;
}

}  // namespace

Result<SplitterPractice> read_splitters_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  RuleDesk desk(name);
  desk.owner = RuleOwner::own;
  ObjectReader object(*root, desk);
  desk.document = object.text_with_words("document");
  desk.edition = object.text("edition");
  object.maybe_text("note");
  SplitterPractice practice;
  Once once;
  if (const JsonNode* rows = object.wanted("splitters"))
    for (const JsonNode& item : rows->items) {
      practice.rows.push_back(read_splitter_row(item, desk));
      once.claim("splitter 1:" + std::to_string(practice.rows.back().outputs), item.line, desk);
    }
  const SourcedNumber spread = read_number(object.wanted("spread_allowed"), spread_number, desk);
  practice.spread_allowed = {spread.value};
  practice.spread_source = spread.source;
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return practice;
}

Result<SplitterPractice> read_splitters(const std::string& path) {
  const Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  return read_splitters_text(*bytes, path);
}

}  // namespace strandbook
