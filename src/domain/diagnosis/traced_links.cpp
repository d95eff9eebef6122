#include "domain/diagnosis/traced_links.hpp"

#include <algorithm>

#include "domain/plan/strand_index.hpp"

namespace strandbook {

void put(ByLink& links, const Assessment& all, const JudgedTraces& judged) {
  TracedStrands& link = links[link_name(all.schedule[judged.strand])];
  link.of.push_back(&judged);
  if (link.strands.empty() || link.strands.back() != judged.strand) link.strands.push_back(judged.strand);
}

std::vector<std::uint32_t> all_tests_of(const Assessment& all, const std::vector<std::uint32_t>& strands) {
  std::vector<std::uint32_t> tests;
  for (const std::uint32_t strand : strands) {
    auto test = std::lower_bound(all.tests.begin(), all.tests.end(), strand,
                                 [](const JudgedTest& each, std::uint32_t s) { return each.strand < s; });
    for (; test != all.tests.end() && test->strand == strand; ++test)
      tests.push_back(static_cast<std::uint32_t>(test - all.tests.begin()));
  }
  return tests;
}

Finding about_link(const Assessment& all, const char* kind, const std::string& name,
                   const TracedStrands& link) {
  Finding finding;
  finding.kind = kind;
  finding.about = name;
  finding.tests = all_tests_of(all, link.strands);
  finding.evidence = {{"strands", static_cast<double>(link.strands.size())},
                      {"first", name_of(all.schedule[link.strands.front()])}};
  return finding;
}

}  // namespace strandbook
