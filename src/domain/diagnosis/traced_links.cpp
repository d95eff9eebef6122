#include "domain/diagnosis/traced_links.hpp"

#include "domain/plan/strand_index.hpp"
#include "domain/verdict/strand_tests.hpp"

namespace strandbook {

void put(ByLink& links, const Assessment& all, const JudgedTraces& judged) {
  TracedStrands& link = links[link_name(all.schedule[judged.strand])];
  link.of.push_back(&judged);
  if (link.strands.empty() || link.strands.back() != judged.strand) link.strands.push_back(judged.strand);
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
