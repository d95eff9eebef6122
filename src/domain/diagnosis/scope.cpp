#include "domain/diagnosis/scope.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <set>
#include <string_view>
#include <unordered_set>

namespace strandbook {
namespace {

std::string folded(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  std::string lower(text);
  for (char& letter : lower) letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
  return lower;
}

/// The panel of an end: what stands before the last colon, slash, blank or full stop and a port's number.
std::string_view panel_of(std::string_view end) {
  const std::size_t mark = end.find_last_of(":/ .");
  if (mark == std::string_view::npos || mark == 0 || mark + 1 == end.size()) return end;
  const std::string_view port = end.substr(mark + 1);
  const bool number = std::all_of(port.begin(), port.end(), [](char letter) {
    return std::isdigit(static_cast<unsigned char>(letter)) != 0;
  });
  return number ? end.substr(0, mark) : end;
}

std::string_view operator_of(const Assessment& all, const JudgedTest& test) {
  return test.reading < all.readings.rows.size() ? all.readings.rows[test.reading].operator_name
                                                 : std::string_view{};
}

/// The names of one list, and those of the job that were met.
class Wanted {
 public:
  Wanted(const std::vector<std::string>& names, const char* kind) : kind_(kind) {
    for (const std::string& name : names) names_.emplace(folded(name), name);
  }
  bool any() const { return !names_.empty(); }
  /// Does one of the names of the job stand in the list?
  bool holds(std::initializer_list<std::string_view> names) {
    if (names_.empty()) return true;
    bool held = false;
    for (const std::string_view name : names) {
      if (name.empty()) continue;
      if (known_.size() < most_known) known_.emplace(name);
      if (names_.count(folded(name)) == 0) continue;
      met_.insert(folded(name));
      held = true;
    }
    return held;
  }
  /// A name that nothing in the job bears.
  std::optional<Problem> stranger() const {
    for (const auto& [name, written] : names_) {
      if (met_.count(name) != 0) continue;
      std::string known;
      for (const std::string& each : known_) known += (known.empty() ? "" : ", ") + each;
      return Problem{
          {},
          std::string(kind_) + " \"" + written + "\"",
          known.empty() ? std::string("a name of the job: it has none") : "one of the job: " + known,
          "Write it as the schedule or the readings do."};
    }
    return std::nullopt;
  }

 private:
  static constexpr std::size_t most_known = 12;
  const char* kind_;
  std::map<std::string, std::string> names_;  ///< as compared, and as written
  std::set<std::string> known_;
  std::unordered_set<std::string> met_;
};

struct Chosen {
  std::vector<bool> strands;
  std::vector<bool> tests;
};

Result<Chosen> chosen(const Assessment& all, const Scope& scope) {
  Wanted buildings(scope.buildings, "building");
  Wanted panels(scope.panels, "panel");
  Wanted cables(scope.cables, "cable");
  Wanted links(scope.links, "link");
  Wanted operators(scope.operators, "operator");
  Chosen chosen{std::vector<bool>(all.schedule.size()), std::vector<bool>(all.tests.size())};
  for (std::size_t i = 0; i < all.schedule.size(); ++i) {
    const ScheduledStrand& strand = all.schedule[i];
    // Each list is asked, so that a name is known to be met even where another list leaves the strand out.
    const bool here[] = {
        buildings.holds({strand.building}),
        panels.holds({panel_of(strand.end_a), panel_of(strand.end_b), strand.end_a, strand.end_b}),
        cables.holds({strand.cable}), links.holds({link_name(strand)})};
    chosen.strands[i] = std::all_of(std::begin(here), std::end(here), [](bool each) { return each; });
  }
  std::vector<bool> taken(all.schedule.size());
  for (std::size_t i = 0; i < all.tests.size(); ++i) {
    const bool taken_by = operators.holds({operator_of(all, all.tests[i])});
    chosen.tests[i] = taken_by && chosen.strands[all.tests[i].strand];
    if (chosen.tests[i]) taken[all.tests[i].strand] = true;
  }
  if (operators.any()) chosen.strands = taken;
  for (const Wanted* list : {&buildings, &panels, &cables, &links, &operators})
    if (auto stranger = list->stranger()) return *stranger;
  if (std::find(chosen.strands.begin(), chosen.strands.end(), true) == chosen.strands.end())
    return Problem{{},
                   "a scope that holds no strand",
                   "names that meet in one strand at least",
                   "Name fewer kinds at once, or look at the schedule."};
  return chosen;
}

/// New index of each old one that stays; `nothing` for the others.
std::vector<std::uint32_t> renumbered(const std::vector<bool>& stays) {
  std::vector<std::uint32_t> numbers(stays.size(), nothing);
  std::uint32_t next = 0;
  for (std::size_t i = 0; i < stays.size(); ++i)
    if (stays[i]) numbers[i] = next++;
  return numbers;
}

template <typename Row>
void keep_only(std::vector<Row>& rows, const std::vector<bool>& stays) {
  std::size_t next = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!stays[i]) continue;
    if (next != i) rows[next] = std::move(rows[i]);
    ++next;
  }
  rows.erase(rows.begin() + static_cast<std::ptrdiff_t>(next), rows.end());
}

/// Readings of the strands that stay, and those that belong to no strand. Under a crew, its own only.
std::vector<bool> readings_that_stay(const Assessment& all, const Chosen& chosen, const Scope& scope) {
  Wanted operators(scope.operators, "operator");
  std::vector<bool> stays(all.readings.rows.size());
  for (std::size_t i = 0; i < stays.size(); ++i) {
    const std::uint32_t strand = i < all.strand_of.size() ? all.strand_of[i] : nothing;
    const bool here = strand >= all.schedule.size() || chosen.strands[strand];
    stays[i] = here && operators.holds({all.readings.rows[i].operator_name});
  }
  for (std::size_t i = 0; i < all.tests.size(); ++i)
    if (chosen.tests[i] && all.tests[i].reading < stays.size()) stays[all.tests[i].reading] = true;
  return stays;
}

/// References that the tests rest on, and every row of the same source, meter, cords and wavelength: their
/// closing checks are among these.
std::vector<bool> references_that_stay(const Assessment& all, const Chosen& chosen) {
  const auto set_of = [&](const Reference& each) {
    return each.source + '\x1f' + each.meter + '\x1f' + each.cords + '\x1f' +
           std::to_string(each.wavelength.value);
  };
  std::unordered_set<std::string> sets;
  for (std::size_t i = 0; i < all.tests.size(); ++i)
    if (chosen.tests[i] && all.tests[i].reference < all.references.size())
      sets.insert(set_of(all.references[all.tests[i].reference]));
  std::vector<bool> stays(all.references.size());
  for (std::size_t i = 0; i < stays.size(); ++i) stays[i] = sets.count(set_of(all.references[i])) != 0;
  return stays;
}

/// Limits, and reasons why there is none, go where no remaining test uses them.
void keep_limits(Assessment& all) {
  std::vector<bool> limits(all.limits.size());
  std::vector<bool> problems(all.limit_problems.size());
  for (const JudgedTest& test : all.tests) {
    if (test.limit < limits.size()) limits[test.limit] = true;
    if (test.limit_problem < problems.size()) problems[test.limit_problem] = true;
  }
  const auto limit_numbers = renumbered(limits);
  const auto problem_numbers = renumbered(problems);
  for (JudgedTest& test : all.tests) {
    if (test.limit < limits.size()) test.limit = limit_numbers[test.limit];
    if (test.limit_problem < problems.size()) test.limit_problem = problem_numbers[test.limit_problem];
  }
  keep_only(all.limits, limits);
  keep_only(all.limit_problems, problems);
}

void keep_readings(Assessment& all, const std::vector<bool>& stays,
                   const std::vector<std::uint32_t>& strands) {
  const auto numbers = renumbered(stays);
  for (JudgedTest& test : all.tests)
    if (test.reading < numbers.size()) test.reading = numbers[test.reading];
  std::vector<bool> unmatched;
  for (UnmatchedReading& row : all.unmatched) {
    unmatched.push_back(row.reading < stays.size() && stays[row.reading]);
    if (unmatched.back()) row.reading = numbers[row.reading];
  }
  keep_only(all.unmatched, unmatched);
  std::vector<std::uint32_t> tidied;
  for (const std::uint32_t reading : all.tidied)
    if (reading < stays.size() && stays[reading]) tidied.push_back(numbers[reading]);
  all.tidied = std::move(tidied);
  if (all.strand_of.size() == stays.size()) {
    keep_only(all.strand_of, stays);
    for (std::uint32_t& strand : all.strand_of)
      if (strand < strands.size()) strand = strands[strand];
  }
  keep_only(all.readings.rows, stays);
}

void keep_continuity(Assessment& all, const std::vector<bool>& strands,
                     const std::vector<std::uint32_t>& numbers) {
  if (all.continuity.strands.empty()) return;
  keep_only(all.continuity.strands, strands);
  for (StrandContinuity& each : all.continuity.strands)
    if (each.out_of < numbers.size()) each.out_of = numbers[each.out_of];
}

void keep_findings(std::vector<Finding>& findings, const std::vector<std::uint32_t>& tests) {
  std::vector<bool> stays;
  for (Finding& finding : findings) {
    std::vector<std::uint32_t> kept;
    for (const std::uint32_t test : finding.tests)
      if (test < tests.size() && tests[test] != nothing) kept.push_back(tests[test]);
    stays.push_back(finding.tests.empty() || !kept.empty());
    finding.tests = std::move(kept);
  }
  keep_only(findings, stays);
}

std::uint32_t renumbered_to(const std::vector<std::uint32_t>& numbers, std::uint32_t old) {
  return old < numbers.size() ? numbers[old] : nothing;
}

/// Traces of the strands that stay, and those that belong to no strand.
void keep_traces(JudgedJob& job, const std::vector<std::uint32_t>& strands,
                 const std::vector<std::uint32_t>& tests) {
  Assessment& all = job.assessment;
  std::vector<bool> stays;
  stays.reserve(all.trace_strands.size());
  for (const std::uint32_t strand : all.trace_strands)
    stays.push_back(strand >= strands.size() || strands[strand] != nothing);
  const auto numbers = renumbered(stays);
  std::vector<bool> judged;
  judged.reserve(job.traces.size());
  for (JudgedTraces& each : job.traces) {
    judged.push_back(renumbered_to(strands, each.strand) != nothing);
    if (!judged.back()) continue;
    each.strand = strands[each.strand];
    each.test = renumbered_to(tests, each.test);
    for (std::uint32_t* trace : {&each.from_a, &each.from_b}) *trace = renumbered_to(numbers, *trace);
    for (std::uint32_t& trace : each.traces) trace = renumbered_to(numbers, trace);
  }
  keep_only(job.traces, judged);
  for (std::uint32_t& strand : all.trace_strands)
    if (strand < strands.size()) strand = strands[strand];
  keep_only(all.trace_strands, stays);
  keep_only(all.traces, stays);
}

Summary summary_of(const std::vector<JudgedTest>& tests) {
  Summary summary;
  for (const JudgedTest& test : tests) ++summary.by_outcome[static_cast<std::size_t>(test.outcome)];
  summary.planned = tests.size();
  return summary;
}

}  // namespace

Extent extent_of(const JudgedJob& job) {
  std::unordered_set<std::string> links;
  for (const ScheduledStrand& strand : job.assessment.schedule)
    links.insert(strand.building + '\x1f' + strand.cable + '\x1f' + strand.link);
  return {links.size(), job.assessment.schedule.size(), job.findings.size(), job.assessment.summary};
}

Scope names_of(const Assessment& all) {
  std::set<std::string_view> buildings;
  std::set<std::string_view> panels;
  std::set<std::string_view> cables;
  std::set<std::string_view> links;
  std::set<std::string_view> operators;
  for (const ScheduledStrand& strand : all.schedule) {
    buildings.insert(strand.building);
    panels.insert(panel_of(strand.end_a));
    panels.insert(panel_of(strand.end_b));
    cables.insert(strand.cable);
    links.insert(link_name(strand));
  }
  for (const JudgedTest& test : all.tests) operators.insert(operator_of(all, test));
  const auto listed = [](std::set<std::string_view>& names) {
    names.erase(std::string_view{});
    return std::vector<std::string>(names.begin(), names.end());
  };
  return {listed(buildings), listed(panels), listed(cables), listed(operators), listed(links)};
}

Result<Done> narrow(JudgedJob& job, const Scope& scope) {
  if (scope.whole()) return Done{};
  Assessment& all = job.assessment;
  const auto found = chosen(all, scope);
  if (!found) return found.problem();
  const auto readings = readings_that_stay(all, *found, scope);
  const auto references = references_that_stay(all, *found);
  const auto strand_numbers = renumbered(found->strands);
  const auto reference_numbers = renumbered(references);
  const auto test_numbers = renumbered(found->tests);
  keep_findings(job.findings, test_numbers);
  keep_traces(job, strand_numbers, test_numbers);
  keep_only(all.tests, found->tests);
  for (JudgedTest& test : all.tests) {
    test.strand = strand_numbers[test.strand];
    if (test.reference < references.size()) test.reference = reference_numbers[test.reference];
  }
  keep_readings(all, readings, strand_numbers);
  keep_continuity(all, found->strands, strand_numbers);
  keep_only(all.references, references);
  keep_only(all.schedule, found->strands);
  keep_limits(all);
  all.summary = summary_of(all.tests);
  return Done{};
}

}  // namespace strandbook
