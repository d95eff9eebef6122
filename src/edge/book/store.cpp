#include "edge/book/store.hpp"

#include <functional>
#include <future>
#include <utility>

#include "edge/book/chain_writer.hpp"

namespace strandbook {
namespace {

/// Facts that are formed and hashed while those before them are written.
struct Block {
  std::vector<Fact> facts;
  bool is_last = false;
};

constexpr std::size_t block_size = 4096;

Result<Done> form(Block& block, ChainWriter& chain, const DraftSource& next) {
  while (block.facts.size() < block_size) {
    Result<std::optional<FactDraft>> draft = next(chain.appended().first);
    if (!draft) return draft.problem();
    block.is_last = !*draft;
    if (block.is_last) break;
    chain.add(std::move(**draft), block.facts);
  }
  return Done{};
}

Result<Done> write_out(Block& block, StoreWriter& store) {
  for (const Fact& fact : block.facts)
    if (Result<Done> added = store.add(fact); !added) return added;
  block.facts.clear();
  return Done{};
}

/// A batch of less than a block, such as what a person enters, starts no thread.
Result<Done> append_all(StoreWriter& store, ChainWriter& chain, FactDraft first, const DraftSource& next) {
  Block now;
  Block then;
  chain.add(std::move(first), now.facts);
  if (Result<Done> formed = form(now, chain, next); !formed) return formed;
  while (!now.is_last) {
    std::future<Result<Done>> forming = std::async(form, std::ref(then), std::ref(chain), std::cref(next));
    Result<Done> written = write_out(now, store);
    Result<Done> formed = forming.get();
    if (!written) return written;
    if (!formed) return formed;
    std::swap(now, then);
  }
  return write_out(now, store);
}

Result<Appended> append_to(StoreWriter& store, const Device& device, const Batch& batch,
                           const Surroundings& surroundings) {
  if (!batch.entry.empty()) {
    const Result<std::optional<Uuid>> before = store.recorded(batch.entry);
    if (!before) return before.problem();
    if (*before) return Appended{0, **before, **before, true};
  }
  Result<std::optional<FactDraft>> first = batch.next(Uuid{});
  if (!first) return first.problem();
  if (!*first) return Appended{};
  Result<ChainWriter> chain = ChainWriter::begin(store, device, surroundings);
  if (!chain) return chain.problem();
  const Result<Done> added = append_all(store, *chain, std::move(**first), batch.next);
  if (!added) return added.problem();
  for (const FileToKeep& file : batch.files)
    if (const Result<Done> kept = store.keep(file); !kept) return kept.problem();
  if (const Result<Done> ended = chain->sign(store); !ended) return ended.problem();
  return chain->appended();
}

}  // namespace

std::string_view entry_in(std::string_view body) {
  constexpr std::string_view mark = "\"entry\":\"";
  const std::size_t at = body.find(mark);
  if (at == std::string_view::npos) return {};
  body.remove_prefix(at + mark.size());
  return body.substr(0, body.find('"'));
}

Result<Appended> Store::append(const Device& device, const Batch& batch) {
  Appended appended;
  const Result<Done> done = write([&](StoreWriter& writer) -> Result<Done> {
    const Result<Appended> added = append_to(writer, device, batch, surroundings());
    if (!added) return added.problem();
    appended = *added;
    return Done{};
  });
  if (done) return appended;
  // A connection lost during the commit leaves open whether it happened: the facts say it.
  if (appended.facts > 0)
    if (const auto first = find_fact(*this, appended.first); first && *first) return appended;
  return done.problem();
}

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
