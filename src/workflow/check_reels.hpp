#pragma once
// Reels before they are laid: maker's record against the site's own measurement.

#include <optional>
#include <string>
#include <vector>

#include "domain/applications/reel_check.hpp"
#include "edge/exchange/array_json.hpp"

namespace strandbook {

/// What the owner allows: from a profile, or a number with where it is written.
struct ReelWish {
  std::string profile;                    ///< id or file; empty where there is none
  std::optional<double> allowed_percent;  ///< goes before the profile's
  std::string source;                     ///< of that number
};

struct ReelWork {
  ReelsJudgement judged;
  Leftovers left;
};

/// Fails where neither profile nor number says what is allowed.
Result<ReelWork> check_reels(const std::string& path, const ReelWish& wish);
/// Every reel may be laid, and every row was used.
bool all_hold(const ReelWork& work);
std::string reels_json(const ReelWork& work);

}  // namespace strandbook
