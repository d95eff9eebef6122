#include "edge/report/reported_job.hpp"

#include <algorithm>
#include <map>
#include <tuple>
#include <unordered_map>

namespace strandbook {
namespace {

std::string key_of(const ScheduledStrand& strand) {
  return strand.building + '\x1f' + strand.cable + '\x1f' + strand.link;
}

LinkView link_from(const ScheduledStrand& strand) {
  LinkView link;
  link.building = strand.building;
  link.cable = strand.cable;
  link.name = !strand.link.empty()    ? strand.link
              : !strand.cable.empty() ? strand.cable
                                      : "strands without a link";
  return link;
}

/// Index of each schedule row's link; links in the order in which they first appear.
std::vector<std::uint32_t> links_of(const Schedule& schedule, std::vector<LinkView>& links) {
  std::unordered_map<std::string, std::uint32_t> known;
  std::vector<std::uint32_t> link_of;
  link_of.reserve(schedule.size());
  for (const ScheduledStrand& strand : schedule) {
    const auto [slot, is_new] = known.emplace(key_of(strand), static_cast<std::uint32_t>(links.size()));
    if (is_new) links.push_back(link_from(strand));
    link_of.push_back(slot->second);
  }
  return link_of;
}

void tighten(const Assessment& all, LinkView& link, std::uint32_t test) {
  const auto margin = margin_of(all, all.tests[test]);
  if (!margin) return;
  if (link.tightest == nothing || *margin < *margin_of(all, all.tests[link.tightest])) link.tightest = test;
}

constexpr std::array gravity = {Outcome::fail, Outcome::conditional_fail, Outcome::invalid,
                                Outcome::conditional_pass, Outcome::not_tested};

std::size_t gravity_of(Outcome outcome) {
  return static_cast<std::size_t>(std::find(gravity.begin(), gravity.end(), outcome) - gravity.begin());
}

/// Of each problem the first that says the same: tests of one strand each have their own.
std::vector<std::uint32_t> alike_problems(const std::vector<Problem>& problems) {
  std::unordered_map<std::string, std::uint32_t> first;
  std::vector<std::uint32_t> alike;
  alike.reserve(problems.size());
  for (const Problem& problem : problems)
    alike.push_back(first.emplace(describe(problem), static_cast<std::uint32_t>(alike.size())).first->second);
  return alike;
}

using NumberKey = std::tuple<std::string, double, std::string, std::string, std::string, int, std::string>;

NumberKey key_of(const LimitTerm& term) {
  const RuleRef& source = term.source;
  return {term.term,      term.each.value, source.document,
          source.edition, source.clause,   static_cast<int>(source.standing),
          source.note};
}

/// Tests under each limit, by wavelength.
std::vector<std::map<double, std::size_t>> users_of_limits(const Assessment& all) {
  std::vector<std::map<double, std::size_t>> users(all.limits.size());
  for (const JudgedTest& test : all.tests)
    if (test.limit < users.size()) ++users[test.limit][test.wavelength.value];
  return users;
}

void note_use(UsedNumber& number, const std::map<double, std::size_t>& users) {
  for (const auto& [wavelength, tests] : users) {
    number.tests += tests;
    auto& known = number.wavelengths;
    const auto place = std::lower_bound(known.begin(), known.end(), wavelength);
    if (place == known.end() || *place != wavelength) known.insert(place, wavelength);
  }
}

}  // namespace

void OutcomeCounts::add(Outcome outcome) {
  ++of[static_cast<std::size_t>(outcome)];
  ++total;
}

void OutcomeCounts::add(const OutcomeCounts& other) {
  for (std::size_t i = 0; i < of.size(); ++i) of[i] += other.of[i];
  total += other.total;
}

ReportedJob::ReportedJob(const JudgedJob& judged)
    : job(judged), all(judged.assessment), worst_of(judged.assessment.schedule.size()) {
  link_of = links_of(all.schedule, links);
  const auto strand_before = [&](std::uint32_t a, std::uint32_t b) { return link_of[a] < link_of[b]; };
  for (std::uint32_t i = 0; i < all.schedule.size(); ++i) strands.push_back(i);
  for (std::uint32_t i = 0; i < all.tests.size(); ++i) tests.push_back(i);
  std::stable_sort(strands.begin(), strands.end(), strand_before);
  std::stable_sort(tests.begin(), tests.end(), [&](std::uint32_t a, std::uint32_t b) {
    return std::pair(link_of[all.tests[a].strand], all.tests[a].strand) <
           std::pair(link_of[all.tests[b].strand], all.tests[b].strand);
  });
  for (const std::uint32_t strand : strands) ++links[link_of[strand]].strands;
  for (const std::uint32_t test : tests) {
    const JudgedTest& judged_test = all.tests[test];
    LinkView& link = links[link_of[judged_test.strand]];
    ++link.tests;
    link.counts.add(judged_test.outcome);
    tighten(all, link, test);
    StrandOutcome& worst = worst_of[judged_test.strand];
    worst = worst ? worse(*worst, judged_test.outcome) : judged_test.outcome;
  }
  for (std::size_t i = 1; i < links.size(); ++i) {
    links[i].first_strand = links[i - 1].first_strand + links[i - 1].strands;
    links[i].first_test = links[i - 1].first_test + links[i - 1].tests;
  }
}

std::span<const std::uint32_t> ReportedJob::strands_of(const LinkView& link) const {
  return std::span(strands).subspan(link.first_strand, link.strands);
}

std::span<const std::uint32_t> ReportedJob::tests_of(const LinkView& link) const {
  return std::span(tests).subspan(link.first_test, link.tests);
}

const Limit* limit_behind(const Assessment& all, const JudgedTest& test) {
  return test.limit < all.limits.size() ? &all.limits[test.limit] : nullptr;
}

std::optional<Decibels> margin_of(const Assessment& all, const JudgedTest& test) {
  const Limit* limit = limit_behind(all, test);
  if (limit == nullptr || !test.has_loss || test.reason != Reason::none) return std::nullopt;
  return limit->value - test.loss;
}

std::string_view arrow_of(const std::optional<Direction>& direction) {
  if (!direction) return "either";
  return *direction == Direction::a_to_b ? "A\u2192B" : "B\u2192A";
}

std::string strand_title(const ScheduledStrand& strand) {
  const std::string& group = link_name(strand);
  return group.empty() ? strand.strand : group + " / " + strand.strand;
}

std::vector<ExceptionGroup> exceptions_of(const ReportedJob& view) {
  std::map<std::tuple<std::size_t, Reason, std::uint32_t>, ExceptionGroup> groups;
  const auto alike = alike_problems(view.all.limit_problems);
  for (const std::uint32_t index : view.tests) {
    const JudgedTest& test = view.all.tests[index];
    if (test.outcome == Outcome::pass) continue;
    const std::uint32_t problem = test.reason == Reason::no_limit && test.limit_problem < alike.size()
                                      ? alike[test.limit_problem]
                                      : nothing;
    ExceptionGroup& group = groups[{gravity_of(test.outcome), test.reason, problem}];
    group.outcome = test.outcome;
    group.reason = test.reason;
    group.problem = problem;
    group.tests.push_back(index);
  }
  std::vector<ExceptionGroup> sorted;
  sorted.reserve(groups.size());
  for (auto& [key, group] : groups) sorted.push_back(std::move(group));
  return sorted;
}

std::vector<UsedNumber> used_numbers(const Assessment& all) {
  const auto users = users_of_limits(all);
  std::map<NumberKey, UsedNumber> numbers;
  for (std::size_t i = 0; i < all.limits.size(); ++i) {
    if (users[i].empty()) continue;
    for (const LimitTerm& term : all.limits[i].working) {
      UsedNumber& number = numbers[key_of(term)];
      number.term = term.term;
      number.each = term.each;
      number.source = term.source;
      note_use(number, users[i]);
    }
  }
  std::vector<UsedNumber> sorted;
  sorted.reserve(numbers.size());
  for (auto& [key, number] : numbers) sorted.push_back(std::move(number));
  return sorted;
}

std::size_t tests_on_memory(const Assessment& all) {
  std::vector<bool> from_memory(all.limits.size());
  for (std::size_t i = 0; i < all.limits.size(); ++i) from_memory[i] = rests_on_memory(all.limits[i]);
  return static_cast<std::size_t>(
      std::count_if(all.tests.begin(), all.tests.end(), [&](const JudgedTest& test) {
        return test.judged() && test.limit < from_memory.size() && from_memory[test.limit];
      }));
}

}  // namespace strandbook
