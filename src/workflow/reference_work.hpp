#pragma once
// What a crew needs to know of its references and cords before it reads on.

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "workflow/live_job.hpp"

namespace strandbook {

/// A reference's health, with what only the batch of its readings shows.
struct ReferenceStanding {
  std::string state;  ///< as text_of(ReferenceState), or "disproved"
  ReferenceHealth health;
  std::size_t tests = 0;  ///< that rest on it
};

/// One for each reference of the view. While nothing can be judged only ages are known.
std::vector<ReferenceStanding> standing_of_references(const JobView& view, const Instant& now);

/// A reference method in words: what of the link is in the reading.
struct MethodWords {
  ReferenceMethod method;
  int cords = 1;
  std::string_view counts;
};
const std::array<MethodWords, 3>& method_words();

/// What to do after a cord check.
std::string advice_on(const CordCheck& check);

}  // namespace strandbook
