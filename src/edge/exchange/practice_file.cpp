#include "edge/exchange/practice_file.hpp"

#include "edge/exchange/diagnosis_file.hpp"
#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {

static constexpr std::string_view text_of(Scale scale) {
  switch (scale) {
    case Scale::absolute:
      return "dB";
    case Scale::per_loss:
      return "dB per dB of loss";
    case Scale::per_kilometre:
      return "dB per km";
  }
  return {};
}
static constexpr std::string_view text_of(Enters enters) {
  switch (enters) {
    case Enters::always:
      return "always";
    case Enters::instruments_differ:
      return "different meter or setting only";
    case Enters::without_closing_check:
      return "without closing check only";
  }
  return {};
}
static constexpr std::string_view text_of(SharedBy shared) {
  return shared == SharedBy::session ? "session" : "reading";
}

namespace {

constexpr std::array spreads = {Spread::rectangular, Spread::triangular, Spread::arcsine, Spread::normal};
constexpr std::array scales = {Scale::absolute, Scale::per_loss, Scale::per_kilometre};
constexpr std::array entrances = {Enters::always, Enters::instruments_differ, Enters::without_closing_check};
constexpr std::array sharers = {SharedBy::reading, SharedBy::session};
constexpr NumberKind half_width_number{"", 0, 5};
constexpr NumberKind coverage_number{"", 0.1, 10};
constexpr NumberKind gain_number{"dB", -1, 0};
constexpr NumberKind change_number{"dB", 0, 1};
constexpr NumberKind hours_number{"h", 1, 8760};

template <class T, std::size_t N>
T choice_or(ObjectReader& object, std::string_view key, const std::array<T, N>& choices, T otherwise) {
  const JsonNode* node = object.maybe(key);
  if (node == nullptr) return otherwise;
  return read_choice(*node, choices, object.desk()).value_or(otherwise);
}

std::optional<FibreMode> read_mode(ObjectReader& object) {
  const JsonNode* node = object.wanted("mode");
  if (node == nullptr || (node->kind == JsonKind::text && node->text == "both")) return std::nullopt;
  return read_choice(*node, fibre_modes, object.desk());
}

ContributionRow read_contribution(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  ContributionRow row;
  row.name = object.text_with_words("name");
  row.mode = read_mode(object);
  row.half_width = plain_number(object.wanted("half_width"), half_width_number, desk);
  row.scale = choice_or(object, "unit", scales, Scale::absolute);
  row.spread = choice_or(object, "distribution", spreads, Spread::rectangular);
  row.shared = choice_or(object, "applies_to", sharers, SharedBy::reading);
  row.enters = choice_or(object, "enters", entrances, Enters::always);
  if (const JsonNode* k = object.maybe("k")) row.coverage = plain_number(k, coverage_number, desk);
  if (const JsonNode* nm = object.maybe("wavelength_nm"))
    row.wavelength = Nanometres{plain_number(nm, wavelength_number, desk)};
  if (const JsonNode* least = object.maybe("minimum_db"))
    row.minimum = {plain_number(least, half_width_number, desk)};
  row.source = read_source(object);
  object.finish();
  return row;
}

Result<Practice> read_acceptance(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  RuleDesk desk(path);
  desk.owner = RuleOwner::own;  // a job may put its own numbers here
  ObjectReader object(*root, desk);
  Practice practice;
  object.maybe_text("note");
  const double gain = read_number(object.wanted("negative_loss_allowance_db"), gain_number, desk).value;
  practice.gain_allowance = {-gain};
  practice.references.change_allowed = {
      read_number(object.wanted("reference_change_allowed_db"), change_number, desk).value};
  const double hours = read_number(object.wanted("reference_valid_hours"), hours_number, desk).value;
  practice.references.valid_for_s = static_cast<std::int64_t>(hours * 3600);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return practice;
}

Result<UncertaintyModel> model_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  desk.owner = RuleOwner::own;
  ObjectReader object(root, desk);
  UncertaintyModel model;
  object.maybe_text("note");
  const JsonNode* list = object.wanted("contributions");
  if (list != nullptr && list->kind != JsonKind::list)
    desk.tell(list->line, words_of(*list), "a list of contributions");
  if (list != nullptr)
    for (const JsonNode& item : list->items) model.push_back(read_contribution(item, desk));
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return model;
}

}  // namespace

Result<UncertaintyModel> read_uncertainty_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return model_of(*root, name);
}

Result<UncertaintyModel> read_uncertainty_file(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return model_of(*root, path);
}

Result<Practice> read_practice(const std::string& folder) {
  Result<Practice> practice = read_acceptance(folder + "/acceptance.json");
  if (!practice) return practice;
  Result<UncertaintyModel> model = read_uncertainty_file(folder + "/uncertainty.json");
  if (!model) return model.problem();
  practice->uncertainty = std::move(*model);
  Result<DiagnosisPractice> diagnosis = read_diagnosis_file(folder + "/diagnosis.json");
  if (!diagnosis) return diagnosis.problem();
  practice->diagnosis = std::move(*diagnosis);
  return practice;
}

}  // namespace strandbook
