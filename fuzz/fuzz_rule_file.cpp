// Any bytes as a rule file: a rule set or a Problem, never a crash; and what was read can be asked for a
// limit.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "domain/rulebook/limit.hpp"
#include "edge/exchange/rule_file.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace strandbook;
  const auto rule = read_rule_text({reinterpret_cast<const char*>(data), size}, "fuzz.json");
  if (!rule) {
    if (rule.problem().wanted.empty() || rule.problem().at.row == 0) std::abort();
    return 0;
  }
  for (const AttenuationRow& row : rule->attenuation) {
    LimitQuestion question;
    question.fibre = row.fibre;
    question.plant = row.plant;
    question.length = Metres{1000};
    question.connections = 3;
    question.wavelength = row.wavelength;
    question.method = ReferenceMethod::one_cord;
    const auto limit = limit_of(*rule, question);
    // The loader promises end and embedded connections for every fibre it lets through, for each grade of
    // cords.
    question.cords = CordGrade::reference_grade;
    if (!limit && !limit_of(*rule, question)) std::abort();
  }
  return 0;
}
