#include "edge/book/store.hpp"

#include "edge/book/chain_writer.hpp"

namespace strandbook {
namespace {

Result<Appended> append_to(StoreWriter& store, const Device& device, const Batch& batch,
                           const Surroundings& surroundings) {
  if (!batch.entry.empty()) {
    const Result<std::optional<Uuid>> before = store.recorded(batch.entry);
    if (!before) return before.problem();
    if (*before) return Appended{0, **before, **before, true};
  }
  std::optional<ChainWriter> chain;
  for (;;) {
    Result<std::optional<FactDraft>> draft = batch.next(chain ? chain->appended().first : Uuid{});
    if (!draft) return draft.problem();
    if (!*draft) break;
    if (!chain) {
      Result<ChainWriter> begun = ChainWriter::begin(store, device, surroundings);
      if (!begun) return begun.problem();
      chain.emplace(std::move(*begun));
    }
    const Result<Done> added = chain->add(std::move(**draft));
    if (!added) return added.problem();
  }
  if (!chain) return Appended{};
  for (const FileToKeep& file : batch.files)
    if (const Result<Done> kept = store.keep(file); !kept) return kept.problem();
  if (const Result<Done> ended = chain->sign(); !ended) return ended.problem();
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
