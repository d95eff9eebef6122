// Any bytes as an owner's profile: a profile or a Problem, never a crash; and what was read keeps its
// promises.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "edge/exchange/owner_profile_file.hpp"
#include "edge/exchange/rule_file.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace strandbook;
  const auto file = read_profile_text({reinterpret_cast<const char*>(data), size}, "fuzz.json");
  if (!file) {
    if (file.problem().wanted.empty() || file.problem().at.row == 0) std::abort();
    return 0;
  }
  // A book keeps the own rule as a text, which must read as a rule again.
  if (file->profile.own_rule) {
    const auto rule = read_rule_text(file->own_rule_text, "own rule");
    if (!rule || rule->id != file->profile.rule) std::abort();
  }
  for (const SpliceDemand& demand : file->profile.splices)
    if (demand.relaxed && demand.relaxed->limit.value < demand.limit.value) std::abort();
  return 0;
}
