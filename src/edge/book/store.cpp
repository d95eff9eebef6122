#include "edge/book/store.hpp"

namespace strandbook {

Result<Appended> append(Store& store, const Device& device, std::span<const FactDraft> drafts) {
  std::size_t at = 0;
  return store.append(device, {{}, [&](const Uuid&) -> Result<std::optional<FactDraft>> {
                                 if (at == drafts.size()) return std::optional<FactDraft>{};
                                 return std::optional<FactDraft>{drafts[at++]};
                               }});
}

Result<std::vector<Fact>> facts_of(const Store& store, const FactQuery& query) {
  std::vector<Fact> facts;
  const Result<Done> done = store.read(std::span(&query, 1), [&facts](const Fact& fact) -> Result<Done> {
    facts.push_back(fact);
    return Done{};
  });
  if (!done) return done.problem();
  return facts;
}

Result<std::optional<Fact>> find_fact(const Store& store, const Uuid& id) {
  FactQuery query;
  query.id = id;
  Result<std::vector<Fact>> facts = facts_of(store, query);
  if (!facts) return facts.problem();
  if (facts->empty()) return std::optional<Fact>{};
  return std::optional<Fact>{std::move(facts->front())};
}

}  // namespace strandbook
