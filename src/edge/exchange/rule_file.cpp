#include "edge/exchange/rule_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>
#include <vector>

#include "edge/exchange/rule_rows.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view own_rule_prefix = "own:";

bool well_formed_rule_id(std::string_view id) {
  const bool own = id.starts_with(own_rule_prefix);
  return well_formed_name(own ? id.substr(own_rule_prefix.size()) : id, own);
}

void read_header(ObjectReader& object, RuleSet& rule) {
  RuleDesk& desk = object.desk();
  const JsonNode* id = object.wanted("id");
  rule.id = object.text_with_words("id");
  if (id != nullptr && !well_formed_rule_id(rule.id))
    desk.tell(id->line, fmt::format("the id \"{}\"", rule.id.substr(0, 80)),
              "document and edition in lower-case letters, digits, '-' and '.', or own: and a name",
              "Such as iso-14763-3-2024 or own:campus-2026.");
  desk.owner = rule.id.starts_with(own_rule_prefix) ? RuleOwner::own : RuleOwner::published;
  rule.title = object.text_with_words("title");
  rule.document = object.text_with_words("document");
  rule.edition = object.text("edition");
  rule.note = object.maybe_text("note");
  desk.document = rule.document;
  desk.edition = rule.edition;
}

/// A member that only a rule of one's own may have.
const JsonNode* own_only(ObjectReader& object, std::string_view key) {
  const JsonNode* node = object.maybe(key);
  if (node != nullptr && object.desk().owner == RuleOwner::published)
    object.desk().tell(node->line, fmt::format("\"{}\" in a published rule set", key),
                       "it in a rule of one's own only", "Give the rule an id that begins with own: .");
  return node;
}

void read_tables(ObjectReader& object, RuleSet& rule) {
  RuleDesk& desk = object.desk();
  rule.whole_link_limits = read_whole_link_limits(own_only(object, "whole_link_limits"), desk);
  rule.attenuation = read_attenuation(object.maybe("attenuation"), desk);
  rule.connections = read_connections(object.maybe("connections"), desk);
  rule.splices = read_splices(object.maybe("splices"), desk);
  rule.reference_joins = read_reference_joins(object.maybe("reference_joins"), desk);
  rule.length_ceilings = read_length_ceilings(object.maybe("length_ceilings"), desk);
  rule.configuration_defaults = read_configuration_defaults(object.maybe("configuration_defaults"), desk);
  rule.fixed_terms = read_fixed_terms(own_only(object, "fixed_terms"), desk);
  rule.statistical = read_statistical(own_only(object, "statistical"), desk);
  rule.demands = read_demands(object.maybe("demands"), &rule, desk);
  rule.aliases = read_aliases(own_only(object, "aliases"), rule, desk);
  rule.reference_method_when_unstated = read_method(own_only(object, "reference_method_when_unstated"), desk);
}

/// Is there a row of the mode that holds for any cords, or one for each grade?
template <class Row, class Matches>
bool answers_all_cords(const std::vector<Row>& rows, Matches matches) {
  const auto has = [&](std::optional<CordGrade> cords) {
    return std::any_of(rows.begin(), rows.end(),
                       [&](const Row& row) { return matches(row) && row.cords == cords; });
  };
  return has(std::nullopt) || (has(CordGrade::reference_grade) && has(CordGrade::standard_grade));
}

void check_mode(const RuleSet& rule, FibreMode mode, std::size_t line, RuleDesk& desk) {
  const auto lacking = [&](std::string_view what, std::string_view table) {
    desk.tell(line, fmt::format("attenuation of {} fibre but no {} for it", text_of(mode), what),
              fmt::format("such a row in \"{}\"", table));
  };
  for (const ConnectionPlace place : {ConnectionPlace::end, ConnectionPlace::embedded}) {
    const auto here = [&](const ConnectionRow& row) { return row.mode == mode && row.place == place; };
    if (!answers_all_cords(rule.connections, here))
      lacking(place == ConnectionPlace::end ? "end connection" : "embedded connection", "connections");
  }
  if (desk.owner == RuleOwner::own) return;
  const auto of_mode = [&](const auto& row) { return row.mode == mode; };
  if (!answers_all_cords(rule.reference_joins, of_mode)) lacking("reference join", "reference_joins");
  if (std::none_of(rule.splices.begin(), rule.splices.end(), of_mode)) lacking("splice", "splices");
}

void check_whole(ObjectReader& object, const RuleSet& rule) {
  RuleDesk& desk = object.desk();
  if (rule.attenuation.empty() && rule.whole_link_limits.empty())
    desk.tell(object.line(), "a rule without any limit", "\"attenuation\" rows, or \"whole_link_limits\"");
  const JsonNode* attenuation = object.maybe("attenuation");
  for (const FibreMode mode : {FibreMode::multimode, FibreMode::single_mode})
    if (std::any_of(rule.attenuation.begin(), rule.attenuation.end(),
                    [&](const AttenuationRow& row) { return mode_of(row.fibre) == mode; }))
      check_mode(rule, mode, attenuation->line, desk);
}

Problem unreadable(const std::string& path, std::string found, std::string advice) {
  return {{path, {}, 0, {}}, std::move(found), "a rule file", std::move(advice)};
}

Result<std::string> text_of_file(const std::string& path) {
  std::error_code error;
  const std::uintmax_t size = fs::file_size(path, error);
  if (error || !fs::is_regular_file(path, error))
    return unreadable(path, "no file that can be read", "Check path and permissions.");
  if (size > largest_rule_file)
    return unreadable(path, fmt::format("{} bytes", size), "Rule files are far smaller.");
  std::ifstream file(path, std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  if (!file.is_open() || file.bad())
    return unreadable(path, "a file that cannot be read", "Check permissions.");
  return text;
}

bool is_rule_file(const fs::path& path) {
  return path.filename() == "cabling.json" ||
         (path.parent_path().filename() == "own" && path.extension() == ".json");
}

Result<std::vector<fs::path>> rule_files_below(const std::string& folder) {
  std::error_code error;
  std::vector<fs::path> files;
  for (fs::recursive_directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
    if (is_rule_file(at->path())) files.push_back(at->path());
  if (error) return unreadable(folder, "a folder that cannot be read: " + error.message(), "Check its path.");
  if (files.empty())
    return unreadable(folder, "no cabling.json in it", "Name the folder that holds the rules.");
  std::sort(files.begin(), files.end());
  return files;
}

// A published rule stands in the folder of its id, so that each edition can be found and reverted alone.
std::optional<Problem> misplaced(const fs::path& path, const RuleSet& rule, const Rulebook& before) {
  if (path.filename() == "cabling.json" && path.parent_path().filename() != rule.id)
    return Problem{
        {path.string(), {}, 0, {}}, "the id " + rule.id, "the id of its folder", "Rename one of the two."};
  if (path.filename() != "cabling.json" && !rule.id.starts_with(own_rule_prefix))
    return Problem{
        {path.string(), {}, 0, {}}, "the id " + rule.id, "an id that begins with own: ", "Rename it."};
  if (find_rule(before, rule.id) != nullptr)
    return Problem{
        {path.string(), {}, 0, {}}, "a second rule " + rule.id, "each id once", "Rename one of the two."};
  return std::nullopt;
}

}  // namespace

Result<RuleSet> read_rule_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> tree = parse_json(text, name);
  if (!tree) return tree.problem();
  return read_rule_tree(*tree, name);
}

Result<RuleSet> read_rule_tree(const JsonNode& tree, const std::string& name) {
  RuleDesk desk(name);
  ObjectReader object(tree, desk);
  RuleSet rule;
  read_header(object, rule);
  read_tables(object, rule);
  check_whole(object, rule);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return rule;
}

Result<RuleSet> read_rule_file(const std::string& path) {
  const Result<std::string> text = text_of_file(path);
  if (!text) return text.problem();
  return read_rule_text(*text, path);
}

Result<Rulebook> read_rulebook(const std::string& folder) {
  const auto files = rule_files_below(folder);
  if (!files) return files.problem();
  Rulebook rulebook;
  for (const fs::path& path : *files) {
    Result<RuleSet> rule = read_rule_file(path.string());
    if (!rule) return rule.problem();
    if (auto problem = misplaced(path, *rule, rulebook)) return *problem;
    rulebook.push_back(std::move(*rule));
  }
  std::sort(rulebook.begin(), rulebook.end(), [](const RuleSet& a, const RuleSet& b) { return a.id < b.id; });
  return rulebook;
}

}  // namespace strandbook
