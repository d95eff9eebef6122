#include "workflow/reference_work.hpp"

#include <fmt/format.h>

namespace strandbook {

std::vector<ReferenceStanding> standing_of_references(const JobView& view, const Instant& now) {
  const ReferencePractice practice =
      view.judgement == nullptr ? ReferencePractice{} : view.judgement->settings().references;
  std::vector<ReferenceStanding> all;
  for (const ReferenceHealth& health : health_of(view.references, practice, now))
    all.push_back({std::string(text_of(health.state)), health, 0});
  if (view.judgement == nullptr) return all;
  for (const JudgedTest& test : view.judgement->all().tests) {
    if (test.reference >= all.size()) continue;
    ++all[test.reference].tests;
    if (test.reason == Reason::reference_disproved) all[test.reference].state = "disproved";
  }
  return all;
}

const std::array<MethodWords, 3>& method_words() {
  static constexpr std::array<MethodWords, 3> words{
      {{ReferenceMethod::one_cord, 1,
        "One cord in the reference: the reading holds the fibre, its splices and both end connections."},
       {ReferenceMethod::two_cord, 2,
        "Two cords and one connection in the reference: the reading holds the fibre, its splices and one of "
        "the two end connections."},
       {ReferenceMethod::three_cord, 3,
        "Three cords and two connections in the reference: the reading holds the fibre and its splices; the "
        "end connections cancel."}}};
  return words;
}

std::string advice_on(const CordCheck& check) {
  const auto over = [&](Decibels loss) { return !at_most(loss, check.allowed); };
  if (holds(check))
    return "The cords are fit for work. Keep the plugs capped and clean them before each mating.";
  const std::string limit = fmt::format("{:.2f} dB", check.allowed.value);
  const std::string first = "Clean and inspect both plugs with the source off, then check again. ";
  if (over(check.forward) && over(check.reversed))
    return first + "Both ways round exceed " + limit + ": if it stays so, replace the cord.";
  return first + "One way round exceeds " + limit +
         ": one plug of the cord is the worse; if it stays so, replace it.";
}

}  // namespace strandbook
