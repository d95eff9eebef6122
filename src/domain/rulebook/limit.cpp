#include "domain/rulebook/limit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "domain/rulebook/connection_counts.hpp"
#include "domain/rulebook/rule_lookup.hpp"
#include "domain/rulebook/settled_question.hpp"

namespace strandbook {
namespace {

constexpr double longest_metres = 200'000;
constexpr int most_joints = 1000;

Problem wanting(std::string wanted, std::string found = {}, std::string advice = {}) {
  return {.at = {}, .found = std::move(found), .wanted = std::move(wanted), .advice = std::move(advice)};
}

std::optional<Problem> count_out_of_range(std::optional<int> count, std::string_view what) {
  if (!count || (*count >= 0 && *count <= most_joints)) return std::nullopt;
  return wanting(fmt::format("a number of {} from 0 to {}", what, most_joints),
                 fmt::format("{} {}", *count, what));
}

std::optional<Problem> out_of_range(const LimitQuestion& question) {
  if (!std::isfinite(question.wavelength.value) || question.wavelength.value <= 0)
    return wanting("a wavelength in nm, such as 1310",
                   fmt::format("wavelength {} nm", question.wavelength.value));
  // Written so that NaN fails too.
  if (question.length && !(question.length->value >= 0 && question.length->value <= longest_metres))
    return wanting("a length from 0 to 200000 m", fmt::format("length {} m", question.length->value));
  if (auto problem = count_out_of_range(question.connections, "connections")) return problem;
  return count_out_of_range(question.splices, "splices");
}

std::optional<Problem> missing(const LimitQuestion& question) {
  const auto ask = [](std::string_view what) {
    return wanting(fmt::format("{}; the schedule does not give it", what));
  };
  if (!question.fibre) return ask("the fibre category, such as OM4 or OS2");
  if (!question.length) return ask("the length in metres");
  if (!question.connections) return ask("the number of connections");
  return std::nullopt;
}

Problem no_value(const RuleSet& rule, const std::string& what, const std::string& offered,
                 std::string advice) {
  return wanting(offered, fmt::format("no {} in {}", what, rule.id), std::move(advice));
}

std::string_view words_of(CordGrade grade) {
  return grade == CordGrade::reference_grade ? "reference-grade" : "standard-grade";
}

Problem no_connection(const RuleSet& rule, const SettledQuestion& settled, std::string_view what) {
  const std::string cords = settled.cords ? std::string(words_of(*settled.cords)) : "unstated grade of";
  return no_value(rule,
                  fmt::format("value for {} on {} with {} test cords", what, text_of(settled.mode), cords),
                  "such a row in the rule", "State the cords' grade, or add the row to the rule.");
}

Problem no_attenuation(const RuleSet& rule, const SettledQuestion& settled) {
  const std::string what =
      fmt::format("attenuation for {} at {} nm", text_of(settled.fibre), settled.wavelength.value);
  if (depends_on_plant(rule, settled.fibre, settled.wavelength))
    return no_value(
        rule, what + (settled.plant == Plant::unstated ? " with the plant not stated" : " in this plant"),
        "the plant: inside, indoor-outdoor or outside",
        "Give the plant, or the category (OS1a, OS2), in the schedule.");
  return no_value(rule, what, "what the rule has: " + attenuation_offered(rule, settled.fibre),
                  "Correct the fibre or the wavelength, or choose a rule that has both.");
}

/// The sum as it grows, term by term. Each step yields a Problem where the rule has no number for it.
class Sum {
 public:
  Sum(const RuleSet& rule, const SettledQuestion& settled)
      : rule_(rule),
        settled_(settled),
        counts_(counts_of(settled.connections, settled.method, settled.configuration)) {
    limit_.notes = settled.notes;
    limit_.method_stated = settled.method.has_value();
  }

  Result<Limit> total() {
    for (const auto step : {&Sum::fibre, &Sum::ends, &Sum::joins, &Sum::embedded, &Sum::splices})
      if (auto problem = (this->*step)()) return *problem;
    own_terms();
    ceiling();
    return limit_;
  }

 private:
  using Step = std::optional<Problem>;

  void add(std::string term, double count, Decibels each, const RuleRef& source) {
    limit_.working.push_back({std::move(term), count, each, count * each, source});
    limit_.value += limit_.working.back().total;
  }

  Step fibre() {
    const auto* row = attenuation_row(rule_, settled_.fibre, settled_.plant, settled_.wavelength);
    if (row == nullptr) return no_attenuation(rule_, settled_);
    add("fibre", settled_.length.value / 1000, {row->value.value}, row->source);
    return std::nullopt;
  }

  const ConnectionRow* row_at(ConnectionPlace place) const {
    return connection_row(rule_, settled_.mode, place, settled_.cords);
  }

  Step ends() {
    if (counts_.ends == 0) return std::nullopt;
    const ConnectionRow* row = row_at(ConnectionPlace::end);
    if (row == nullptr) return no_connection(rule_, settled_, "end connections");
    add("end connections", counts_.ends, row->value, row->source);
    if (!settled_.cords && depends_on_cords(rule_, settled_.mode))
      limit_.notes.push_back(
          fmt::format("grade of the test cords not stated: end connections at {} dB, as the rule has it then",
                      row->value.value));
    return std::nullopt;
  }

  // A reference cannot hide more than the end connection it stands for: no limit falls below the rest.
  Step joins() {
    if (counts_.joins == 0) return std::nullopt;
    const ReferenceJoinRow* row = reference_join_row(rule_, settled_.mode, settled_.cords);
    if (row == nullptr) return no_connection(rule_, settled_, "reference joins");
    const Decibels end = row_at(ConnectionPlace::end)->value;
    add("reference joins", counts_.joins, Decibels{0} - std::min(row->value, end), row->source);
    if (end < row->value)
      limit_.notes.push_back(fmt::format("a reference join of {} dB is counted as the end connection's {} dB",
                                         row->value.value, end.value));
    return std::nullopt;
  }

  Step embedded() {
    if (counts_.embedded == 0) return std::nullopt;
    const ConnectionRow* row = row_at(ConnectionPlace::embedded);
    if (row == nullptr) return no_connection(rule_, settled_, "embedded connections");
    add("embedded connections", counts_.embedded, row->value, row->source);
    return std::nullopt;
  }

  Step splices() {
    if (settled_.splices == 0) return std::nullopt;
    const SpliceRow* row = splice_row(rule_, settled_.mode);
    if (row == nullptr)
      return no_value(rule_, fmt::format("value for splices on {}", text_of(settled_.mode)),
                      "such a row in the rule", "Add the row to the rule, or correct the number of splices.");
    add("splices", settled_.splices, row->value, row->source);
    return std::nullopt;
  }

  void own_terms() {
    for (const FixedTermRow& row : rule_.fixed_terms) add(row.name, 1, row.value, row.source);
    if (!rule_.statistical) return;
    const StatisticalBudget& spread = *rule_.statistical;
    const double variance = settled_.connections * spread.connection_variance +
                            settled_.splices * spread.splice_variance + spread.system_variance;
    add("statistical part", spread.coverage, {std::sqrt(variance)}, spread.source);
  }

  void ceiling() {
    const LengthCeilingRow* row = length_ceiling_row(rule_, settled_.mode);
    if (row == nullptr || settled_.length <= row->value) return;
    limit_.notes.push_back(fmt::format("length {} m is above the ceiling of {} m for {}: {}",
                                       settled_.length.value, row->value.value, text_of(settled_.mode),
                                       describe(row->source)));
  }

  const RuleSet& rule_;
  const SettledQuestion& settled_;
  ConnectionCounts counts_;
  Limit limit_;
};

Limit whole_limit(std::string term, Decibels value, const RuleRef& source) {
  return {.value = value,
          .working = {{std::move(term), 1, value, value, source}},
          .notes = {},
          .method_stated = true,
          .fixed = true};
}

}  // namespace

const LimitTerm* term_named(const Limit& limit, std::string_view name) {
  const auto found = std::find_if(limit.working.begin(), limit.working.end(),
                                  [name](const LimitTerm& term) { return term.term == name; });
  return found == limit.working.end() ? nullptr : &*found;
}

bool rests_on_memory(const Limit& limit) {
  return std::any_of(limit.working.begin(), limit.working.end(),
                     [](const LimitTerm& term) { return term.source.standing == Standing::from_memory; });
}

Result<Limit> limit_of(const RuleSet& rule, const LimitQuestion& question) {
  if (auto problem = out_of_range(question)) return *problem;
  const auto mode = question.fibre ? std::optional(mode_of(*question.fibre)) : std::nullopt;
  if (const auto* row = whole_link_row(rule, mode, question.wavelength))
    return whole_limit("whole link", row->value, row->source);
  if (auto problem = missing(question)) return *problem;
  const SettledQuestion settled = settle(rule, question);
  return Sum(rule, settled).total();
}

Limit fixed_limit(Decibels value, const RuleRef& source) {
  return whole_limit("stated limit", value, source);
}

}  // namespace strandbook
