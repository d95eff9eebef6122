#pragma once
// Whether a book's job can leave the site: held against what its owner demands.

#include <optional>
#include <string>
#include <vector>

#include "domain/handover/preflight.hpp"
#include "workflow/keep_book.hpp"

namespace strandbook {

/// A judged job with all that the book holds for its owner.
struct HandoverGround {
  JudgedWork work;
  std::optional<OwnerProfile> profile;  ///< empty where the owner gave none
  PackRecord pack;
  BookState state;           ///< without its rows, which `work` holds
  std::int64_t version = 0;  ///< of the book, as others wrote it, when it was read
};

/// `today`: for the owner's deadlines. A profile in `given` goes before the book's.
Result<HandoverGround> handover_ground(const OpenBook& book, const JobSettings& given,
                                       const std::optional<Instant>& today, const Progress& progress = {});

/// What people and files added for the owner, as remarks and imports tell it.
PackRecord pack_of(const JobToHandOver& job, const std::vector<Held<Remark>>& remarks,
                   const std::vector<Held<ImportRecord>>& imports, const std::optional<Instant>& today);
/// The owner's profile that the book holds; nothing where it holds none.
Result<std::optional<OwnerProfile>> profile_in(const std::vector<Held<RuleChoice>>& choices);

/// What the owner would send back, and what a person still sees to.
std::vector<PreflightItem> preflight(const HandoverGround& ground);

/// As docs/preflight.schema.json describes it.
std::string preflight_json(const JobToHandOver& job, const std::optional<OwnerProfile>& profile,
                           const std::vector<PreflightItem>& items);
std::string preflight_json(const HandoverGround& ground, const std::vector<PreflightItem>& items);

}  // namespace strandbook
