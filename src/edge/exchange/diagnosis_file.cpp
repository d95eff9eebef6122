#include "edge/exchange/diagnosis_file.hpp"

#include <cmath>
#include <map>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr NumberKind rate_number{"", 1e-6, 0.05};
constexpr NumberKind readings_number{"readings", 100, 1e12};
constexpr NumberKind days_number{"days", 0, 365};
constexpr NumberKind spread_number{"dB", 0.001, 1};
constexpr NumberKind effect_number{"dB", 0.01, 2};
constexpr NumberKind slope_number{"dB/km", 0, 10};
constexpr NumberKind plain_share{"", 0, 1};
constexpr NumberKind skew_number{"", 0, 3};
constexpr NumberKind apart_number{"m", 0, 1000};
constexpr NumberKind seconds_number{"s", 0, 600};
constexpr NumberKind minutes_number{"", 0.1, 600};

double number(ObjectReader& object, std::string_view key, const NumberKind& kind) {
  return read_number(object.wanted(key), kind, object.desk()).value;
}
double plain(ObjectReader& object, std::string_view key, const NumberKind& kind) {
  return plain_number(object.wanted(key), kind, object.desk());
}

std::vector<TypicalAttenuation> read_attenuation(ObjectReader& object) {
  TypicalAttenuation row;
  row.fibres = read_choices(object.wanted("fibres"), fibre_categories, object.desk());
  row.wavelength = {plain(object, "nm", wavelength_number)};
  row.typical = {plain(object, "typical", slope_number)};
  row.deviation = {plain(object, "deviation", slope_number)};
  row.least = {plain(object, "least", slope_number)};
  row.source = read_source(object);
  return {row};
}

TypicalPart read_part(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return {};
  ObjectReader object(*node, desk);
  const TypicalPart part{{plain(object, "typical", effect_number)},
                         {plain(object, "deviation", effect_number)}};
  tell_unit(object, "dB");
  read_source(object);
  object.finish();
  return part;
}

UsualSpread read_spread(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return {};
  ObjectReader object(*node, desk);
  UsualSpread spread;
  spread.repeat = {number(object, "repeat", spread_number)};
  spread.strand = {number(object, "strand", spread_number)};
  spread.cable = {number(object, "cable", spread_number)};
  spread.wavelength = {number(object, "wavelength", spread_number)};
  spread.wavelength_level = {number(object, "wavelength_level", spread_number)};
  spread.skewness = number(object, "skewness", skew_number);
  object.finish();
  return spread;
}

LeastEffects read_least(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return {};
  ObjectReader object(*node, desk);
  LeastEffects least;
  least.bend = {number(object, "bend", effect_number)};
  least.direction = {number(object, "direction", effect_number)};
  least.unlike = {number(object, "unlike", effect_number)};
  least.exchange = {number(object, "exchange", effect_number)};
  least.length_share = number(object, "length_share", plain_share);
  least.length = {number(object, "length", apart_number)};
  least.strand_seconds = number(object, "strand_time", seconds_number);
  object.finish();
  return least;
}

std::vector<CauseRow> read_cause(ObjectReader& object) {
  CauseRow row;
  row.kind = object.text_with_words("kind");
  row.cause = object.text_with_words("cause");
  row.share = plain(object, "share", plain_share);
  row.action = object.text_with_words("action");
  row.minutes = plain(object, "minutes", minutes_number);
  read_source(object);
  return {row};
}

void check_shares(const JsonNode* list, const std::vector<CauseRow>& causes, RuleDesk& desk) {
  std::map<std::string, double> sums;
  for (const CauseRow& row : causes) sums[row.kind] += row.share;
  for (const auto& [kind, sum] : sums)
    if (list != nullptr && std::abs(sum - 1) > 1e-6)
      desk.tell(list->line, fmt::format("shares of \"{}\" that sum to {:g}", kind, sum),
                "shares that sum to 1");
}

}  // namespace

Result<DiagnosisPractice> read_diagnosis_file(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  RuleDesk desk(path);
  desk.owner = RuleOwner::own;  // a job may put its own numbers here
  ObjectReader object(*root, desk);
  DiagnosisPractice practice;
  object.maybe_text("note");
  practice.false_alarm_rate = number(object, "false_alarm_rate", rate_number);
  practice.reference_alarm_rate = number(object, "reference_alarm_rate", rate_number);
  practice.false_alarm_readings = number(object, "false_alarm_readings", readings_number);
  practice.calibration_warning_days = number(object, "calibration_warning", days_number);
  practice.least_offset = {number(object, "least_offset", effect_number)};
  practice.attenuation = read_table<TypicalAttenuation>(object.wanted("attenuation"), desk, read_attenuation);
  practice.connection = read_part(object.wanted("connection"), desk);
  practice.splice = read_part(object.wanted("splice"), desk);
  practice.spread = read_spread(object.wanted("spread"), desk);
  practice.least = read_least(object.wanted("least"), desk);
  const JsonNode* causes = object.wanted("causes");
  practice.causes = read_table<CauseRow>(causes, desk, read_cause);
  check_shares(causes, practice.causes, desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return practice;
}

}  // namespace strandbook
