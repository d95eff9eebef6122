// What is recorded, in which form it is handed over, and by when.

#include <algorithm>

#include "edge/exchange/profile_parts.hpp"
#include "edge/exchange/profile_reader.hpp"

namespace strandbook {
namespace {

constexpr std::array retest_rules = {RetestRule::action_before_repeat,
                                     RetestRule::replace_at_contractors_cost, RetestRule::owner_may_retest,
                                     RetestRule::failure_may_refuse_whole_cable};
constexpr std::array length_units = {LengthUnit::metres, LengthUnit::feet};
constexpr std::array day_counts = {DayCount::calendar, DayCount::working};

constexpr NumberKind copies_number{"copies", 1, 20};
constexpr NumberKind days_number{"days", 0, 366};
constexpr NumberKind months_number{"months", 1, 120};
constexpr NumberKind years_number{"years", 1, 100};

int whole(const JsonNode* node, const NumberKind& kind, RuleDesk& desk) {
  const double value = plain_number(node, kind, desk);
  if (node != nullptr && std::floor(value) != value)
    desk.tell(node->line, fmt::format("\"{}\": {}", node->key, value), "a whole number");
  return static_cast<int>(value);
}

std::vector<HandoverDemand> read_handover(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<HandoverDemand>(node, desk, [&](ObjectReader& object) {
    const auto chosen = read_choices(object.wanted("form"), every_handover_form, desk);
    const JsonNode* copies = object.maybe("copies");
    const int number = copies == nullptr ? 1 : whole(copies, copies_number, desk);
    const RuleRef source = read_source(object);
    std::vector<HandoverDemand> rows;
    for (const HandoverForm form : chosen) {
      once.claim(fmt::format("form \"{}\"", text_of(form)), object.line(), desk);
      rows.push_back({form, number, source});
    }
    return rows;
  });
}

void check_forms(const JsonNode* refused, const OwnerProfile& profile, RuleDesk& desk) {
  for (const Sourced<HandoverForm>& each : profile.refused_forms)
    if (std::any_of(profile.handover.begin(), profile.handover.end(),
                    [&](const HandoverDemand& wanted) { return wanted.form == each.value; }))
      desk.tell(refused->line, fmt::format("\"{}\" refused, which \"handover\" wants", text_of(each.value)),
                "a form wanted or refused, not both", "Take one of the two out.");
}

/// {"value": 2, "unit": "working days", ...}: the unit says how they are counted.
std::optional<DayLimit> read_days(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  ObjectReader object(*node, desk);
  const int days = whole(object.wanted("value"), days_number, desk);
  const auto count = wanted_choice(object, "unit", day_counts);
  const RuleRef source = read_source(object);
  object.finish();
  return DayLimit{days, count.value_or(DayCount::calendar), source};
}

std::vector<Sourced<std::string>> read_words(const JsonNode* node, RuleDesk& desk) {
  return read_table<Sourced<std::string>>(node, desk, [&](ObjectReader& object) {
    std::string text = object.text_with_words("text");
    return std::vector<Sourced<std::string>>{{std::move(text), read_source(object)}};
  });
}

}  // namespace

void read_handing_over(ObjectReader& object, OwnerProfile& profile) {
  RuleDesk& desk = object.desk();
  profile.records = read_sourced_choices(object.maybe("records"), "field", every_record_field(), desk);
  profile.length_unit = maybe_sourced_choice(object, "length_unit", "unit", length_units);
  profile.calibration_months_most = maybe_count(object, "calibration_age_most", months_number);
  profile.handover = read_handover(object.maybe("handover"), desk);
  const JsonNode* refused = object.maybe("refused_forms");
  profile.refused_forms = read_sourced_choices(refused, "form", every_handover_form, desk);
  check_forms(refused, profile, desk);
  profile.notice = read_days(object.maybe("notice"), desk);
  profile.results_within = read_days(object.maybe("results_within"), desk);
  profile.records_kept_years = maybe_count(object, "records_kept", years_number);
  profile.retest = read_sourced_choices(object.maybe("retest"), "rule", retest_rules, desk);
  profile.in_words = read_words(object.maybe("in_words"), desk);
}

}  // namespace strandbook
