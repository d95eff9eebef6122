#include "edge/book/chain_writer.hpp"

#include <limits>

#include "edge/book/canonical_json.hpp"
#include "edge/book/domain_facts.hpp"

namespace strandbook {

Result<ChainWriter> ChainWriter::begin(StoreWriter& store, const Device& device,
                                       const Surroundings& surroundings) {
  ChainWriter writer(store, device, surroundings);
  const Result<ChainPlace> end = store.end_of_chain(device.id);
  if (!end) return end.problem();
  writer.last_.id = end->id;
  writer.last_.sequence = end->sequence;
  writer.last_.hash = end->hash;
  if (!device.key) return writer;
  const Result<std::string> named = store.key_fact(device.id, std::numeric_limits<std::int64_t>::max());
  if (!named) return named.problem();
  std::string own = to_fact(KeyRecord{device.key->public_key()}).body;
  if (*named != own) writer.key_fact_ = std::move(own);
  return writer;
}

Result<Done> ChainWriter::chain(FactDraft draft) {
  last_.id = next_uuid7(last_.id, last_.time_ms, random_);
  ++last_.sequence;
  last_.kind = draft.kind;
  last_.body = std::move(draft.body);
  last_.subject = std::move(draft.subject);
  last_.target = draft.target;
  last_.previous = last_.hash;
  last_.hash = fact_hash(last_);
  return store_.add(last_);
}

Result<Done> ChainWriter::add(FactDraft draft) {
  if (!key_fact_.empty()) {
    const Result<Done> named = chain({FactKind::device_key, std::exchange(key_fact_, {}), {}, {}});
    if (!named) return named.problem();
  }
  if (!device_.by.empty()) draft.body = with_text(draft.body, "by", device_.by);
  const Result<Done> chained = chain(std::move(draft));
  if (!chained) return chained.problem();
  if (appended_.facts++ == 0) appended_.first = last_.id;
  appended_.last = last_.id;
  return Done{};
}

Result<Done> ChainWriter::sign() {
  if (!device_.key) return Done{};
  return store_.add(Head{last_.device, last_.sequence, last_.hash,
                         device_.key->sign(head_statement(last_.device, last_.sequence, last_.hash))});
}

}  // namespace strandbook
