#include "domain/diagnosis/settle.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>
#include <iterator>
#include <string_view>
#include <tuple>

#include "domain/diagnosis/next_steps.hpp"
#include "domain/statistics/multiple_testing.hpp"

namespace strandbook {
namespace {

void take_family(std::span<const Suspects* const> every, std::size_t family, double rate,
                 std::vector<Finding>& out) {
  std::vector<const Suspicion*> held;
  std::vector<double> probabilities;
  std::size_t tests = 0;
  for (const Suspects* suspects : every) {
    tests += suspects->looked_at[family];
    for (const Suspicion& each : suspects->suspicions)
      if (static_cast<std::size_t>(each.family) == family) {
        held.push_back(&each);
        probabilities.push_back(each.probability);
      }
  }
  const std::vector<double> adjusted = benjamini_hochberg(probabilities, tests);
  for (std::size_t i = 0; i < held.size(); ++i) {
    if (adjusted[i] > rate) continue;
    out.push_back(held[i]->finding);
    out.back().chance = adjusted[i];
  }
}

/// The same kind about the same thing, told twice (at two wavelengths, say), is one finding: the surer one,
/// with the tests of both.
void merge_same(std::vector<Finding>& findings) {
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    return std::tie(a.kind, a.about) < std::tie(b.kind, b.about);
  });
  std::vector<Finding> merged;
  for (Finding& each : findings) {
    if (merged.empty() || merged.back().kind != each.kind || merged.back().about != each.about) {
      merged.push_back(std::move(each));
      continue;
    }
    Finding& kept = merged.back();
    std::vector<std::uint32_t> tests;
    std::set_union(kept.tests.begin(), kept.tests.end(), each.tests.begin(), each.tests.end(),
                   std::back_inserter(tests));
    if (each.chance.value_or(0) < kept.chance.value_or(0)) kept = std::move(each);
    kept.tests = std::move(tests);
  }
  findings = std::move(merged);
}

/// Tests of the findings of such kinds, in order.
std::vector<std::uint32_t> tests_under(const std::vector<Finding>& findings,
                                       std::initializer_list<std::string_view> kinds) {
  std::vector<std::uint32_t> tests;
  for (const Finding& each : findings)
    if (std::find(kinds.begin(), kinds.end(), each.kind) != kinds.end())
      tests.insert(tests.end(), each.tests.begin(), each.tests.end());
  std::sort(tests.begin(), tests.end());
  return tests;
}

std::size_t shared_with(const std::vector<std::uint32_t>& tests, const Finding& finding) {
  std::vector<std::uint32_t> shared;
  std::set_intersection(tests.begin(), tests.end(), finding.tests.begin(), finding.tests.end(),
                        std::back_inserter(shared));
  return shared.size();
}

/// What follows from another finding is not told: one strand unlike its neighbours where all such strands
/// share a cause, losses worked out from a column that holds none, and
/// anything about readings since a step of the source, which are to be repeated whatever they show.
void drop_consequences(std::vector<Finding>& findings) {
  const std::vector<std::uint32_t> foreign =
      tests_under(findings, {"headroom", "level-for-loss", "loss-sign"});
  const std::vector<std::uint32_t> shifted = tests_under(findings, {"reference-shift"});
  const std::vector<std::uint32_t> shared = tests_under(findings, {"shared-cause"});
  std::erase_if(findings, [&](const Finding& each) {
    if (each.kind == "strand-unlike" && shared_with(shared, each) > 0) return true;
    const bool of_losses = each.chance || each.kind == "below-fibre" || each.kind == "wavelengths-exchanged";
    if (of_losses && 2 * shared_with(foreign, each) > each.tests.size()) return true;
    const bool of_a_strand =
        each.kind == "bend" || each.kind == "strand-unlike" || each.kind == "direction-differs";
    return (of_a_strand || each.kind == "reference-cords") && shared_with(shifted, each) > 0;
  });
}

}  // namespace

std::vector<Finding> settled_findings(std::span<const Suspects* const> every,
                                      const DiagnosisPractice& practice) {
  std::vector<Finding> findings;
  for (const Suspects* suspects : every)
    findings.insert(findings.end(), suspects->facts.begin(), suspects->facts.end());
  for (std::size_t family = 0; family < families; ++family)
    take_family(every, family,
                family == static_cast<std::size_t>(Family::offset) ? practice.reference_alarm_rate
                                                                   : practice.false_alarm_rate,
                findings);
  drop_consequences(findings);
  merge_same(findings);
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    return a.weight != b.weight ? a.weight < b.weight : a.tests.size() > b.tests.size();
  });
  for (std::size_t i = 0; i < findings.size(); ++i) {
    findings[i].id = fmt::format("F{}", i + 1);
    findings[i].steps = steps_for(findings[i].kind, practice);
  }
  return findings;
}

void add_uses(std::vector<InstrumentUse>& all, const std::vector<InstrumentUse>& more) {
  const auto add = [](std::vector<std::uint32_t>& list, const std::vector<std::uint32_t>& rest) {
    list.insert(list.end(), rest.begin(), rest.end());
  };
  for (const InstrumentUse& each : more) {
    const auto at = std::find_if(all.begin(), all.end(), [&](const InstrumentUse& have) {
      return have.instrument == each.instrument;
    });
    if (at == all.end()) {
      all.push_back(each);
      continue;
    }
    add(at->outside, each.outside);
    add(at->undated, each.undated);
    add(at->any, each.any);
    at->last_s = std::max(at->last_s, each.last_s);
  }
}

void add_files(std::vector<FileLosses>& all, const std::vector<FileLosses>& more) {
  for (const FileLosses& each : more) {
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const FileLosses& have) { return have.file == each.file; });
    if (at == all.end()) {
      all.push_back(each);
      continue;
    }
    at->losses += each.losses;
    at->negative += each.negative;
    at->far_negative += each.far_negative;
    at->near_headroom += each.near_headroom;
    at->near_loss += each.near_loss;
  }
}

}  // namespace strandbook
