#include "workflow/job_map.hpp"

#include <algorithm>
#include <map>
#include <span>
#include <unordered_map>

namespace strandbook {
namespace {

/// How the strands of a job are tested at a wavelength.
struct TestedWays {
  bool one_way = false;  ///< some strand has one test, in whichever direction
  bool both_ways = false;
};

/// Tests of one strand at one wavelength: they stand side by side.
std::size_t group_end(std::span<const JudgedTest> tests, std::size_t first) {
  std::size_t end = first + 1;
  while (end < tests.size() && tests[end].strand == tests[first].strand &&
         tests[end].wavelength == tests[first].wavelength)
    ++end;
  return end;
}

bool has_directed(const std::vector<MapColumn>& columns, Nanometres wavelength) {
  return std::any_of(columns.begin(), columns.end(), [&](const MapColumn& column) {
    return column.wavelength == wavelength && column.direction;
  });
}

/// Does the column show this test, one of `count` that its strand has at the wavelength?
bool shows(const MapColumn& column, const JudgedTest& test, std::size_t count, bool directed) {
  if (column.wavelength != test.wavelength) return false;
  if (column.direction) return count > 1 && column.direction == test.direction;
  return count == 1 || !directed;
}

}  // namespace

char letter_of(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return 'P';
    case Outcome::conditional_pass:
      return 'C';
    case Outcome::conditional_fail:
      return 'D';
    case Outcome::fail:
      return 'F';
    case Outcome::not_tested:
      return 'N';
    case Outcome::invalid:
      return 'X';
  }
  return no_such_test;
}

std::vector<MapColumn> columns_of(const LiveJudgement& judgement) {
  std::map<double, TestedWays> uses;
  const std::span<const JudgedTest> tests = judgement.all().tests;
  for (std::size_t first = 0; first < tests.size();) {
    const std::size_t end = group_end(tests, first);
    TestedWays& use = uses[tests[first].wavelength.value];
    (end - first == 1 ? use.one_way : use.both_ways) = true;
    first = end;
  }
  std::vector<MapColumn> columns;
  for (const auto& [nm, use] : uses) {
    if (use.one_way) columns.push_back({{nm}, std::nullopt});
    if (!use.both_ways) continue;
    columns.push_back({{nm}, Direction::a_to_b});
    columns.push_back({{nm}, Direction::b_to_a});
  }
  return columns;
}

std::string letters_of(const LiveJudgement& judgement, const std::vector<MapColumn>& columns,
                       std::uint32_t strand) {
  std::string letters(columns.size(), no_such_test);
  const std::span<const JudgedTest> tests = judgement.tests_of(strand);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const bool directed = has_directed(columns, columns[i].wavelength);
    std::optional<Outcome> worst;
    for (std::size_t first = 0; first < tests.size();) {
      const std::size_t end = group_end(tests, first);
      const std::size_t count = end - first;
      for (; first < end; ++first)
        if (shows(columns[i], tests[first], count, directed))
          worst = worst ? worse(*worst, tests[first].outcome) : tests[first].outcome;
    }
    if (worst) letters[i] = letter_of(*worst);
  }
  return letters;
}

std::vector<std::string> cells_of(const LiveJudgement& judgement, const std::vector<MapColumn>& columns) {
  const std::size_t strands = judgement.all().schedule.size();
  std::vector<std::string> cells(columns.size(), std::string(strands, no_such_test));
  for (std::uint32_t strand = 0; strand < strands; ++strand) {
    const std::string letters = letters_of(judgement, columns, strand);
    for (std::size_t column = 0; column < columns.size(); ++column) cells[column][strand] = letters[column];
  }
  return cells;
}

PeopleOfStrands people_of(const LiveJudgement& judgement) {
  const Assessment& all = judgement.all();
  PeopleOfStrands result;
  result.of.assign(all.schedule.size(), -1);
  std::vector<std::int64_t> latest(all.schedule.size(), std::numeric_limits<std::int64_t>::min());
  std::unordered_map<std::string_view, std::int32_t> known;
  for (const JudgedTest& test : all.tests) {
    if (test.reading == nothing) continue;
    const Reading& reading = all.readings.rows[test.reading];
    const std::int64_t time = reading.has_time ? reading.time.seconds : 0;
    if (reading.operator_name.empty() || time < latest[test.strand]) continue;
    const auto [at, fresh] =
        known.try_emplace(reading.operator_name, static_cast<std::int32_t>(result.people.size()));
    if (fresh) result.people.emplace_back(reading.operator_name);
    result.of[test.strand] = at->second;
    latest[test.strand] = time;
  }
  return result;
}

LinkRuns link_runs(const Schedule& schedule) {
  LinkRuns result;
  std::unordered_map<std::string_view, std::uint32_t> known;
  std::string_view before;
  for (std::uint32_t strand = 0; strand < schedule.size(); ++strand) {
    const std::string_view name = link_name(schedule[strand]);
    if (!result.runs.empty() && name == before) {
      ++result.runs.back().second;
      continue;
    }
    before = name;
    const auto [at, fresh] = known.try_emplace(name, static_cast<std::uint32_t>(result.links.size()));
    if (fresh) result.links.push_back(strand);
    result.runs.emplace_back(at->second, 1);
  }
  return result;
}

}  // namespace strandbook
