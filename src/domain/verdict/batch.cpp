#include "domain/verdict/batch.hpp"

namespace strandbook {

void void_disproved_references(std::vector<JudgedTest>& tests, std::size_t references) {
  struct Count {
    std::size_t all = 0;
    std::size_t gains = 0;
  };
  std::vector<Count> counts(references);
  for (const JudgedTest& test : tests) {
    if (test.reference >= references || !test.has_loss) continue;
    ++counts[test.reference].all;
    if (test.reason == Reason::impossible_value) ++counts[test.reference].gains;
  }
  for (JudgedTest& test : tests) {
    if (test.reference >= references) continue;
    const Count& count = counts[test.reference];
    const bool disproved = count.gains >= 3 && 2 * count.gains >= count.all;
    if (!disproved || !test.has_loss) continue;
    test.outcome = Outcome::invalid;
    test.reason = Reason::reference_disproved;
    test.conformance = 0;
  }
}

}  // namespace strandbook
