#pragma once
// Everything that was ever recorded about one strand, with what became of it.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "domain/plan/strand_index.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

enum class FactStanding {
  counts,
  corrected,              ///< other values count in its place
  withdrawn,              ///< no longer counts
  withdrawn_with_import,  ///< its whole file no longer counts
};
std::string_view text_of(
    FactStanding standing);  // "counts", "corrected", "withdrawn", "withdrawn with its file"

struct HistoryEntry {
  Fact fact;
  std::string summary;  ///< one line: "reading 1310 nm AB: loss 0.35 dB (day1.csv, row 7)"
  FactStanding standing = FactStanding::counts;
  std::optional<Uuid> corrects;      ///< of a correction: the fact it names
  std::optional<Uuid> corrected_by;  ///< the correction that decides
  std::string person;
  std::string reason;
};

/// Facts in order of time that name the strand, now or before a correction, with their corrections. A name is
/// followed as readings are matched: exactly, tidied, or by the kinds of repair that a person confirmed.
Result<std::vector<HistoryEntry>> history(const Store& store, std::string_view link, std::string_view strand,
                                          NameRepairs confirmed = 0);

/// Names besides its own under which facts speak of each strand of a schedule: worked out once, where many
/// strands of a large book are looked at.
class OtherNames {
 public:
  static Result<OtherNames> of(const Store& store, const Schedule& schedule, NameRepairs confirmed = 0);
  /// The strand's own name and the others; `strand` is an index into the same schedule.
  std::vector<Subject> names_of(const Schedule& schedule, std::uint32_t strand) const;

 private:
  std::unordered_map<std::uint32_t, std::vector<Subject>> others_;
};
/// Likewise, for names that are known.
Result<std::vector<HistoryEntry>> history(const Store& store, const std::vector<Subject>& names);

}  // namespace strandbook
