#include "workflow/job_map.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

namespace strandbook {
namespace {

/// What the tests of a wavelength have in common.
struct WavelengthUse {
  bool undirected = false;
  bool both_ways = false;
};

bool shows(const MapColumn& column, const JudgedTest& test) {
  return column.wavelength == test.wavelength && (!column.direction || column.direction == test.direction);
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
  std::map<double, WavelengthUse> uses;
  WavelengthUse* use = nullptr;
  const JudgedTest* before = nullptr;
  for (const JudgedTest& test : judgement.all().tests) {
    if (before == nullptr || before->wavelength != test.wavelength) use = &uses[test.wavelength.value];
    if (!test.direction) use->undirected = true;
    if (before != nullptr && before->strand == test.strand && before->wavelength == test.wavelength)
      use->both_ways = true;
    before = &test;
  }
  std::vector<MapColumn> columns;
  for (const auto& [nm, each] : uses) {
    if (each.both_ways && !each.undirected) {
      columns.push_back({{nm}, Direction::a_to_b});
      columns.push_back({{nm}, Direction::b_to_a});
    } else {
      columns.push_back({{nm}, std::nullopt});
    }
  }
  return columns;
}

std::string letters_of(const LiveJudgement& judgement, const std::vector<MapColumn>& columns,
                       std::uint32_t strand) {
  std::string letters;
  for (const MapColumn& column : columns) {
    std::optional<Outcome> worst;
    for (const JudgedTest& test : judgement.tests_of(strand))
      if (shows(column, test)) worst = worst ? worse(*worst, test.outcome) : test.outcome;
    letters += worst ? letter_of(*worst) : no_such_test;
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
