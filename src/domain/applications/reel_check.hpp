#pragma once
// Cable on its reel, before it is laid: the site's own attenuation against the maker's record.

#include <optional>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/sourced.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

/// One strand of a reel at one wavelength.
struct ReelReading {
  std::string reel;
  std::string strand;
  Nanometres wavelength;
  std::optional<DecibelsPerKilometre> maker;  ///< above 0
  std::optional<DecibelsPerKilometre> site;
  std::string approved_by;  ///< who let the reel be laid all the same; may be empty
  Place at;
};

enum class ReelWord { agrees, higher, lower, incomplete };
std::string_view text_of(ReelWord word);  // "agrees", "higher than the record", ...

struct ReelLine {
  ReelReading reading;
  double deviation_percent = 0;  ///< site over maker − 1; meaningful unless incomplete
  ReelWord word = ReelWord::incomplete;
};

enum class ReelStatus { released, on_hold, approved };
std::string_view text_of(ReelStatus status);  // "released", "on hold", "approved"

/// A reel may be laid where every strand agrees with its record. Else it is on hold until the owner approves.
struct ReelJudgement {
  std::string reel;
  ReelStatus status = ReelStatus::on_hold;
  std::vector<std::uint32_t> lines;   ///< indices into ReelsJudgement::lines
  std::vector<std::uint32_t> report;  ///< of them, to be reported to the owner
  std::string approved_by;
  std::string words;  ///< a sentence: what follows
};

struct ReelsJudgement {
  std::vector<ReelLine> lines;
  std::vector<ReelJudgement> reels;  ///< in order of first appearance
  Sourced<double> allowed_percent;
};

/// A deviation of exactly what is allowed agrees. `allowed`: per cent of the maker's value, 0 or more.
ReelsJudgement judge_reels(std::vector<ReelReading> readings, const Sourced<double>& allowed);

}  // namespace strandbook
