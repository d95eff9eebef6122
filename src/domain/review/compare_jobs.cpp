#include "domain/review/compare_jobs.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "domain/statistics/multiple_testing.hpp"
#include "domain/statistics/robust.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

constexpr double huber_k = 1.345;

using TestKey = std::tuple<std::string_view, std::string_view, long, int>;

TestKey key_of(const RecordedTest& test) {
  // Tenths of a nanometre: 1310 and 1310.0 are one wavelength.
  return {test.link, test.strand, std::lround(test.wavelength.value * 10),
          test.direction ? static_cast<int>(*test.direction) : -1};
}

using StrandKey = std::pair<std::string_view, std::string_view>;

std::vector<std::string> strands_only_in(const std::set<StrandKey>& one, const std::set<StrandKey>& other) {
  std::vector<std::string> names;
  for (const StrandKey& strand : one)
    if (!other.contains(strand))
      names.push_back(std::string(strand.first) + "/" + std::string(strand.second));
  return names;
}

double squared(Decibels u) { return u.value * u.value; }
/// Of one loss, the part that no other reading has.
double own_variance(const RecordedTest& test) {
  return std::max(0.0, squared(test.uncertainty) - squared(test.shared));
}

class Comparing {
 public:
  Comparing(const RecordedJob& before, const RecordedJob& after, const ComparisonSettings& settings)
      : before_(before), after_(after), settings_(settings) {}

  Comparison all() {
    match();
    group();
    for (std::uint32_t i = 0; i < result_.moves.size(); ++i) settle_move(i);
    judge_changes();
    return std::move(result_);
  }

 private:
  void match() {
    std::map<TestKey, std::uint32_t> later;
    std::set<StrandKey> old_strands;
    std::set<StrandKey> new_strands;
    for (std::uint32_t i = 0; i < after_.tests.size(); ++i) {
      later.emplace(key_of(after_.tests[i]), i);
      new_strands.emplace(after_.tests[i].link, after_.tests[i].strand);
    }
    for (std::uint32_t i = 0; i < before_.tests.size(); ++i) {
      old_strands.emplace(before_.tests[i].link, before_.tests[i].strand);
      const auto found = later.find(key_of(before_.tests[i]));
      if (found == later.end()) {
        result_.only_before.push_back(i);
        continue;
      }
      add_pair(i, found->second);
      later.erase(found);
    }
    for (const auto& [key, index] : later) result_.only_after.push_back(index);
    std::sort(result_.only_after.begin(), result_.only_after.end());
    result_.gone_strands = strands_only_in(old_strands, new_strands);
    result_.new_strands = strands_only_in(new_strands, old_strands);
  }

  void add_pair(std::uint32_t old_index, std::uint32_t new_index) {
    const RecordedTest& old = before_.tests[old_index];
    const RecordedTest& now = after_.tests[new_index];
    TestPair pair;
    pair.before = old_index;
    pair.after = new_index;
    if (old.outcome != now.outcome)
      result_.outcomes.push_back(static_cast<std::uint32_t>(result_.pairs.size()));
    if (old.loss && now.loss) {
      pair.change = *now.loss - *old.loss;
      pair.uncertainty = {std::sqrt(squared(old.uncertainty) + squared(now.uncertainty))};
      pair.same_reading = !old.time.empty() && old.time == now.time && pair.change.value == 0;
    }
    result_.pairs.push_back(pair);
  }

  bool comparable(const TestPair& pair) const {
    return before_.tests[pair.before].loss && after_.tests[pair.after].loss && !pair.same_reading;
  }

  void group() {
    std::map<std::tuple<std::string, std::string, long>, std::uint32_t> known;
    for (std::uint32_t i = 0; i < result_.pairs.size(); ++i) {
      TestPair& pair = result_.pairs[i];
      if (!comparable(pair)) continue;
      const RecordedTest& old = before_.tests[pair.before];
      const RecordedTest& now = after_.tests[pair.after];
      const auto [at, fresh] =
          known.try_emplace({old.reference, now.reference, std::lround(old.wavelength.value * 10)},
                            static_cast<std::uint32_t>(result_.moves.size()));
      if (fresh) {
        result_.moves.push_back({.reference_before = old.reference,
                                 .reference_after = now.reference,
                                 .wavelength = old.wavelength});
        members_.emplace_back();
      }
      pair.group = at->second;
      members_[at->second].push_back(i);
    }
  }

  void settle_move(std::uint32_t index) {
    SharedMove& move = result_.moves[index];
    const std::vector<std::uint32_t>& members = members_[index];
    std::vector<double> changes;
    double own = 0;
    double shared = 0;
    for (const std::uint32_t member : members) {
      const TestPair& pair = result_.pairs[member];
      const RecordedTest& old = before_.tests[pair.before];
      const RecordedTest& now = after_.tests[pair.after];
      changes.push_back(pair.change.value);
      own += own_variance(old) + own_variance(now);
      shared += squared(old.shared) + squared(now.shared);
    }
    const auto n = static_cast<double>(members.size());
    move.tests = members.size();
    move.settled = members.size() >= settings_.group_least;
    move.move = {move.settled ? huber_location(changes, huber_k) : median(changes)};
    // Shared parts do not shrink with the number of tests; what each has of its own does.
    move.uncertainty = {std::sqrt(shared / n + own / n / n)};
    move.beyond = move.settled && std::abs(move.move.value) > 2 * move.uncertainty.value;
  }

  void judge_changes() {
    std::vector<double> chances;
    std::vector<std::uint32_t> at;
    for (std::uint32_t i = 0; i < result_.pairs.size(); ++i) {
      TestPair& pair = result_.pairs[i];
      if (pair.group == not_there) continue;
      set_apart(pair);
      chances.push_back(pair.chance);
      at.push_back(i);
    }
    result_.compared = at.size();
    const std::vector<double> adjusted = benjamini_hochberg(chances, chances.size());
    for (std::size_t i = 0; i < at.size(); ++i) {
      TestPair& pair = result_.pairs[at[i]];
      pair.adjusted = adjusted[i];
      pair.changed = pair.adjusted <= settings_.false_alarm_rate;
      if (pair.changed) result_.changed.push_back(at[i]);
    }
    std::stable_sort(result_.changed.begin(), result_.changed.end(),
                     [this](std::uint32_t a, std::uint32_t b) {
                       return std::abs(result_.pairs[a].apart.value) > std::abs(result_.pairs[b].apart.value);
                     });
  }

  void set_apart(TestPair& pair) const {
    const SharedMove& move = result_.moves[pair.group];
    const double own = own_variance(before_.tests[pair.before]) + own_variance(after_.tests[pair.after]);
    pair.apart = move.settled ? pair.change - move.move : pair.change;
    pair.apart_uncertainty =
        move.settled ? Decibels{std::sqrt(own + own / static_cast<double>(move.tests))} : pair.uncertainty;
    const double u = pair.apart_uncertainty.value;
    if (u > 0)
      pair.chance = std::min(1.0, 2 * normal_upper_tail(std::abs(pair.apart.value) / u));
    else
      pair.chance = pair.apart.value == 0 ? 1 : 0;
  }

  const RecordedJob& before_;
  const RecordedJob& after_;
  const ComparisonSettings& settings_;
  Comparison result_;
  std::vector<std::vector<std::uint32_t>> members_;
};

}  // namespace

Comparison compare_jobs(const RecordedJob& before, const RecordedJob& after,
                        const ComparisonSettings& settings) {
  return Comparing(before, after, settings).all();
}

}  // namespace strandbook
