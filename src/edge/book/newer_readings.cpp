#include "edge/book/newer_readings.hpp"

#include <algorithm>

#include "edge/book/domain_facts.hpp"

namespace strandbook {
namespace {

constexpr std::int64_t most_by_one = 5'000;

/// Facts that change nothing that counts.
bool is_beside(const Fact& fact) {
  return fact.kind == FactKind::device_key || fact.kind == FactKind::time_stamp;
}

Result<bool> any(const Store& store, FactQuery query) {
  query.most = 1;
  const Result<std::vector<Fact>> facts = facts_of(store, query);
  if (!facts) return facts.problem();
  return !facts->empty();
}

/// Facts after that reach; nothing where they are not just those that came since.
Result<std::optional<std::vector<Fact>>> facts_after(const Store& store, const BookReach& since,
                                                     const BookReach& now) {
  const std::int64_t fresh = now.chained - since.chained;
  if (fresh < 0 || fresh > most_by_one) return std::optional<std::vector<Fact>>{};
  Result<std::vector<Fact>> facts =
      facts_of(store, {.after = since.latest, .most = static_cast<std::size_t>(fresh) + 1});
  if (!facts) return facts.problem();
  if (facts->size() != static_cast<std::size_t>(fresh)) return std::optional<std::vector<Fact>>{};
  return std::optional(std::move(*facts));
}

/// A correction may come before what it corrects where books were merged.
Result<bool> is_corrected(const Store& store, const std::vector<TypedReading>& typed) {
  for (const TypedReading& each : typed) {
    Result<bool> found = any(store, {.target = each.fact});
    if (!found || *found) return found;
  }
  return false;
}

}  // namespace

Result<BookReach> reach_of(const Store& store) {
  const Result<std::int64_t> chained = store.chained_facts();
  if (!chained) return chained.problem();
  const Result<std::vector<Fact>> latest = facts_of(store, {.order = FactOrder::latest, .most = 1});
  if (!latest) return latest.problem();
  return BookReach{*chained, latest->empty() ? Uuid{} : latest->front().id};
}

Result<std::optional<NewerReadings>> newer_readings(const Store& store, const BookReach& since,
                                                    const std::set<Uuid>& own) {
  const Result<BookReach> reach = reach_of(store);
  if (!reach) return reach.problem();
  const auto facts = facts_after(store, since, *reach);
  if (!facts) return facts.problem();
  if (!*facts) return std::optional<NewerReadings>{};
  const Result<bool> retired = any(store, {.kind = FactKind::device_retired});
  if (!retired) return retired.problem();
  if (*retired) return std::optional<NewerReadings>{};
  NewerReadings newer;
  newer.reach = *reach;
  TextKeeper keeper(newer.texts);
  for (const Fact& fact : **facts) {
    if (is_beside(fact)) continue;
    if (fact.kind != FactKind::reading && own.contains(fact.id)) continue;
    if (fact.kind != FactKind::reading) return std::optional<NewerReadings>{};
    const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
    if (!fields) return fields.problem();
    if (origin_of(*fields)) return std::optional<NewerReadings>{};
    const Result<Reading> reading = reading_from(*fields, keeper);
    if (!reading) return reading.problem();
    newer.typed.push_back({fact.id, std::string(entry_in(fact.body)), *reading});
  }
  const Result<bool> corrected = is_corrected(store, newer.typed);
  if (!corrected) return corrected.problem();
  if (*corrected) return std::optional<NewerReadings>{};
  return std::optional(std::move(newer));
}

}  // namespace strandbook
