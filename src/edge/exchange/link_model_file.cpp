#include "edge/exchange/link_model_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

/// Inputs that several rows draw on, and what of them a row has taken so far.
using GivenInputs = std::vector<SourcedInput>;
struct InputParts {
  std::map<std::string, GivenInputs> by_name;
  Once names;
};

std::vector<std::string> wanted_texts(ObjectReader& object, std::string_view key) {
  const JsonNode* list = object.wanted(key);
  std::vector<std::string> texts = maybe_texts(list, object.desk());
  if (list != nullptr && texts.empty())
    object.desk().tell(list->line, fmt::format("\"{}\": an empty list", key), "at least one text");
  return texts;
}

template <class Take>
void for_each_in(const JsonNode* list, RuleDesk& desk, Take take) {
  if (list == nullptr) return;
  if (list->kind != JsonKind::list) desk.tell(list->line, words_of(*list), "a list [ ... ]");
  for (const JsonNode& item : list->items) take(item);
}

/// Members named like fields of the model, each a number with unit and source.
GivenInputs read_inputs(const JsonNode& node, RuleDesk& desk) {
  ObjectReader object(node, desk);
  GivenInputs given;
  for (const LinkModelField& field : link_model_fields()) {
    const JsonNode* member = object.maybe(field.name);
    if (member == nullptr) continue;
    SourcedNumber number = read_number(member, {field.unit, field.least, field.most}, desk);
    given.push_back({&field, number.value, std::move(number.source)});
  }
  object.finish();
  return given;
}

void read_part(const JsonNode& item, InputParts& parts, RuleDesk& desk) {
  ObjectReader object(item, desk);
  const std::string name = object.text_with_words("name");
  parts.names.claim("part \"" + name + "\"", item.line, desk);
  object.maybe_text("note");
  if (const JsonNode* inputs = object.wanted("inputs")) parts.by_name[name] = read_inputs(*inputs, desk);
  object.finish();
}

void take_inputs(LinkModelRow& row, const GivenInputs& inputs, std::size_t line, Once& once, RuleDesk& desk) {
  for (const SourcedInput& input : inputs) {
    once.claim("\"" + std::string(input.field->name) + "\"", line, desk);
    row.inputs.*(input.field->member) = input.value;
    row.given.push_back(input);
  }
}

void read_given(ObjectReader& object, const InputParts& parts, LinkModelRow& row) {
  RuleDesk& desk = object.desk();
  Once once;
  for_each_in(object.maybe("parts"), desk, [&](const JsonNode& item) {
    const auto part = parts.by_name.find(item.text);
    if (part == parts.by_name.end())
      desk.tell(item.line, words_of(item), "the name of one of the \"parts\"");
    else
      take_inputs(row, part->second, item.line, once, desk);
  });
  if (const JsonNode* own = object.maybe("inputs"))
    take_inputs(row, read_inputs(*own, desk), own->line, once, desk);
  std::sort(row.given.begin(), row.given.end(),
            [](const SourcedInput& a, const SourcedInput& b) { return a.field < b.field; });
}

bool has(const LinkModelRow& row, double LinkModelInputs::*member) {
  return std::any_of(row.given.begin(), row.given.end(),
                     [&](const SourcedInput& input) { return input.field->member == member; });
}

void check_complete(const LinkModelRow& row, std::size_t line, RuleDesk& desk) {
  for (const LinkModelField& field : link_model_fields()) {
    const bool due =
        field.use == InputUse::loss || (field.use == InputUse::penalties && row.penalties_unknown.empty());
    if (due && !has(row, field.member))
      desk.tell(line, fmt::format("no \"{}\"", field.name),
                fmt::format("\"{}\" in the row or its parts", field.name));
  }
  if (!row.penalties_unknown.empty()) return;
  if (has(row, &LinkModelInputs::modal_bandwidth_mhz_km) == has(row, &LinkModelInputs::dgd_max_ps))
    desk.tell(line, "\"modal_bandwidth\" and \"dgd_max\"",
              "one of them: bandwidth for multimode, differential group delay for single-mode");
}

// Numbers that are each in range may still make no sense together.
void check_sense(const LinkModelRow& row, std::size_t line, RuleDesk& desk) {
  const LinkModelInputs& in = row.inputs;
  if (!row.penalties_unknown.empty() || desk.first_problem()) return;
  if (in.transmit_dbm <= in.sensitivity_dbm)
    desk.tell(line, "\"transmit_power\" at or below \"sensitivity\"", "a budget above 0 dB");
  if (in.duty_cycle_distortion_ps > in.deterministic_jitter_ps)
    desk.tell(line, "\"duty_cycle_distortion\" above \"deterministic_jitter\"",
              "the distortion, which is a part of the jitter, not above it");
  if (in.deterministic_jitter_ps * in.rate_mbd * 1e-6 >= 0.5)
    desk.tell(line, "\"deterministic_jitter\" of half a bit or more", "less than half a bit");
}

void read_places(ObjectReader& object, LinkModelRow& row) {
  RuleDesk& desk = object.desk();
  row.applications = wanted_texts(object, "applications");
  row.fibre = object.text_with_words("fibre");
  row.fibre_names = maybe_texts(object.maybe("fibre_names"), desk);
  row.categories = read_choices(object.maybe("categories"), fibre_categories, desk);
  row.categories_with_own_attenuation =
      read_choices(object.maybe("categories_with_own_attenuation"), fibre_categories, desk);
  row.nominal_wavelength_nm = plain_number(object.wanted("nominal_wavelength_nm"), wavelength_number, desk);
}

void read_limits(ObjectReader& object, LinkModelRow& row) {
  SourcedNumber target = read_number(object.wanted("target_length"), length_number, object.desk());
  row.inputs.target_length_m = target.value;
  row.target_source = std::move(target.source);
  SourcedNumber allocation =
      read_number(object.wanted("connection_allocation"), allowance_number, object.desk());
  row.connection_allocation = {allocation.value};
  row.allocation_source = std::move(allocation.source);
}

LinkModelRow read_model_row(const JsonNode& item, const InputParts& parts, RuleDesk& desk) {
  ObjectReader object(item, desk);
  LinkModelRow row;
  read_places(object, row);
  read_limits(object, row);
  row.penalties_unknown = object.maybe_text("penalties_unknown");
  row.notes = maybe_texts(object.maybe("notes"), desk);
  read_given(object, parts, row);
  object.finish();
  check_complete(row, item.line, desk);
  check_sense(row, item.line, desk);
  if (has(row, &LinkModelInputs::dgd_max_ps))
    row.inputs.modal_bandwidth_mhz_km =
        modal_bandwidth_from_dgd(row.inputs.dgd_max_ps, {row.inputs.target_length_m});
  return row;
}

OutsideLinkModel read_outside(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  OutsideLinkModel outside;
  outside.applications = wanted_texts(object, "applications");
  outside.why = object.text_with_words("why");
  outside.source = read_source(object);
  object.finish();
  return outside;
}

// Two rows for one application and fibre would leave open which holds.
void claim_fibres(const LinkModelRow& row, std::size_t line, Once& once, RuleDesk& desk) {
  for (const std::string& application : row.applications) {
    for (const FibreCategory category : row.categories)
      once.claim(fmt::format("row for {} over {}", application, text_of(category)), line, desk);
    for (const FibreCategory category : row.categories_with_own_attenuation)
      once.claim(fmt::format("row for {} over {}", application, text_of(category)), line, desk);
    for (const std::string& name : row.fibre_names)
      once.claim(fmt::format("row for {} over {}", application, name), line, desk);
  }
}

}  // namespace

Result<LinkModelTable> read_link_model_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  RuleDesk desk(name);
  ObjectReader object(*root, desk);
  LinkModelTable table;
  object.text_with_words("title");
  desk.document = object.text_with_words("document");
  desk.edition = object.text_with_words("edition");
  object.maybe_text("note");
  InputParts parts;
  for_each_in(object.wanted("parts"), desk, [&](const JsonNode& item) { read_part(item, parts, desk); });
  Once once;
  for_each_in(object.wanted("rows"), desk, [&](const JsonNode& item) {
    table.rows.push_back(read_model_row(item, parts, desk));
    claim_fibres(table.rows.back(), item.line, once, desk);
  });
  for_each_in(object.wanted("outside"), desk,
              [&](const JsonNode& item) { table.outside.push_back(read_outside(item, desk)); });
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return table;
}

Result<LinkModelTable> read_link_models(const std::string& folder) {
  const std::string path = folder + "/ieee-802.3-link-model/link-model.json";
  const Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  return read_link_model_text(*bytes, path);
}

}  // namespace strandbook
