#include "edge/book/chain_writer.hpp"

#include <limits>

#include "edge/book/canonical_json.hpp"
#include "edge/book/domain_facts.hpp"

namespace strandbook {

Result<ChainWriter> ChainWriter::begin(StoreWriter& store, const Device& device,
                                       const Surroundings& surroundings) {
  const Result<ChainPlace> end = store.end_of_chain(device.id);
  if (!end) return end.problem();
  ChainWriter writer(device, surroundings, *end);
  if (!device.key) return writer;
  const Result<std::string> named = store.key_fact(device.id, std::numeric_limits<std::int64_t>::max());
  if (!named) return named.problem();
  std::string own = to_fact(KeyRecord{device.key->public_key()}).body;
  if (*named != own) writer.key_fact_ = std::move(own);
  return writer;
}

void ChainWriter::chain(FactDraft draft, std::vector<Fact>& facts) {
  Fact& fact = facts.emplace_back();
  fact.id = next_uuid7(end_.id, time_ms_, random_);
  fact.device = device_.id;
  fact.sequence = end_.sequence + 1;
  fact.time_ms = time_ms_;
  fact.kind = draft.kind;
  fact.body = std::move(draft.body);
  fact.subject = std::move(draft.subject);
  fact.target = draft.target;
  fact.previous = end_.hash;
  fact.hash = fact_hash(fact);
  end_ = {fact.id, fact.sequence, fact.previous, fact.hash};
}

void ChainWriter::add(FactDraft draft, std::vector<Fact>& facts) {
  if (!key_fact_.empty()) chain({FactKind::device_key, std::exchange(key_fact_, {}), {}, {}}, facts);
  if (!device_.by.empty()) draft.body = with_text(draft.body, "by", device_.by);
  chain(std::move(draft), facts);
  if (appended_.facts++ == 0) appended_.first = end_.id;
  appended_.last = end_.id;
}

Result<Done> ChainWriter::sign(StoreWriter& store) const {
  if (!device_.key) return Done{};
  return store.add(Head{device_.id, end_.sequence, end_.hash,
                        device_.key->sign(head_statement(device_.id, end_.sequence, end_.hash))});
}

}  // namespace strandbook
