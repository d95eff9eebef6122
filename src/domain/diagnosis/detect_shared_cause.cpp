// What failing strands have in common, and what cannot be told apart.

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/diagnosis/sentence.hpp"
#include "domain/statistics/tails.hpp"

namespace strandbook {
namespace {

const char* words_of(Factor factor) {
  switch (factor) {
    case Factor::end_a:
      return "end A";
    case Factor::end_b:
      return "end B";
    case Factor::cable:
      return "link";
    case Factor::building:
      return "building";
    case Factor::position:
      return "strand position";
    case Factor::operator_name:
      return "operator";
    case Factor::source:
      return "source";
    case Factor::cords:
      return "cords";
  }
  return "";
}

/// Interval of a share by Wilson, J. Am. Stat. Assoc. 22 (1927) 209, at 95 %.
std::pair<double, double> wilson(double hits, double of) {
  constexpr double z = 1.959964;
  const double share = hits / of;
  const double centre = (share + z * z / (2 * of)) / (1 + z * z / of);
  const double half = z / (1 + z * z / of) * std::sqrt(share * (1 - share) / of + z * z / (4 * of * of));
  return {std::max(0.0, centre - half), std::min(1.0, centre + half)};
}

struct Total {
  std::uint32_t tested = 0;
  std::uint32_t bad = 0;
};

constexpr std::uint32_t least_bad = 3;

bool is_narrow(const FactorCount& count, const Total& total) {
  // Something that nearly everything shares explains nothing, and neither does a part of which most is good.
  constexpr double most = 0.7;
  constexpr double least_share = 0.25;
  if (count.bad < least_bad || count.tested > most * total.tested) return false;
  if (count.bad < least_share * count.tested) return false;
  // Strands of one link share everything: only the link itself may be named for them.
  return count.factor == Factor::cable || std::popcount(count.links) > 1;
}

}  // namespace

void detect_shared_cause(const JobIndex& index, const std::vector<BlockFacts>& facts, Suspects& out) {
  const Total total{index.tested(), index.bad()};
  if (total.bad == 0) return;
  out.looked(Family::shared, index.levels());
  const std::vector<FactorCount> factors = index.with_bad(least_bad, facts);
  // Parts with the very same failing strands cannot be told apart.
  std::map<std::pair<std::uint64_t, std::uint32_t>, std::vector<const FactorCount*>> alike;
  for (const FactorCount& count : factors)
    if (is_narrow(count, total)) alike[{count.who, count.tested}].push_back(&count);
  for (const auto& [key, counts] : alike) {
    const FactorCount& count = *counts.front();
    const double probability = hypergeometric_upper_tail(count.bad, {total.tested, total.bad, count.tested});
    std::string names;
    for (const FactorCount* each : counts)
      names += fmt::format("{}{} {}", names.empty() ? "" : ", ", words_of(each->factor), each->level);
    const auto [low, high] = wilson(count.bad, count.tested);
    const std::uint32_t rest = total.tested - count.tested;
    Finding finding;
    finding.kind = "shared-cause";
    finding.weight = Weight::stop;
    finding.about = names;
    finding.tests = count.bad_tests;
    std::sort(finding.tests.begin(), finding.tests.end());
    finding.summary = fmt::format("{} of {} strands of {} fail, but {} of the other {}.", count.bad,
                                  count.tested, names, total.bad - count.bad, rest);
    if (counts.size() > 1)
      finding.summary += " These parts cannot be told apart here: the same strands share them all.";
    finding.evidence = {
        {"failing_share", static_cast<double>(count.bad) / count.tested},
        {"share_low", low},
        {"share_high", high},
        {"share_elsewhere", rest == 0 ? 0 : static_cast<double>(total.bad - count.bad) / rest},
        {"shared", names}};
    finding.advice = counts.size() > 1 ? "Measure one failing strand again with one of them changed (other "
                                         "cord, other person, other panel): what moves "
                                         "is the cause."
                                       : "Clean and inspect there first, then measure one of these strands "
                                         "again before going through all of them.";
    finding.caution = live_port_caution;
    out.suspect(Family::shared, probability, std::move(finding));
  }
}

}  // namespace strandbook
