#include "edge/book/taking_in.hpp"

#include "edge/book/device_key.hpp"
#include "edge/book/domain_facts.hpp"

namespace strandbook {
namespace {

/// What facts are found by is worked out anew: a copy from outside may say anything. Only the strand that a
/// correction's new values name is known to whoever recorded it alone.
Result<Done> file_under_its_content(Fact& fact) {
  const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
  if (!fields) return fields.problem();
  if (Result<Done> readable = check_body(fact.kind, *fields); !readable) return readable;
  if (fact.kind == FactKind::correction) {
    fact.target = fields->uuid("fact");
    return Done{};
  }
  fact.target.reset();
  fact.subject = subject_of(fact.kind, *fields);
  return Done{};
}

}  // namespace

void TakerIn::refuse(const Fact& fact, const std::string& found, const std::string& advice) {
  taken_.refused.push_back({{source_, {}, 0, {}},
                            "fact " + text_of(fact.id) + ", number " + std::to_string(fact.sequence) +
                                " of device " + text_of(fact.device) + ": " + found,
                            "a fact as its device wrote it",
                            advice});
}

void TakerIn::refuse_fork(const Fact& fact) {
  if (!forked_.insert(fact.device).second) return;
  refuse(fact, "its device wrote something else at this place in this book",
         "The book's file was copied, and both copies were written to. From here on these facts stay in " +
             source_ +
             ": bring their rows in from the files they came from. Carry facts with `book carry`, not by "
             "copying.");
}

Result<bool> TakerIn::fits_its_neighbours(const Fact& fact) {
  if (last_.device == fact.device && last_.sequence + 1 == fact.sequence) {
    if (fact.previous != last_.hash) return false;
  } else {
    const auto before = store_.at(fact.device, fact.sequence - 1);
    if (!before) return before.problem();
    if (*before && (*before)->hash != fact.previous) return false;
  }
  if (fact.sequence >= ends_.at(fact.device)) return true;
  const auto after = store_.at(fact.device, fact.sequence + 1);
  if (!after) return after.problem();
  return !*after || (*after)->previous == fact.hash;
}

Result<Done> TakerIn::place(const Fact& fact) {
  const bool first = !ends_.contains(fact.device);
  if (first) {
    const Result<ChainPlace> end = store_.end_of_chain(fact.device);
    if (!end) return end.problem();
    ends_.emplace(fact.device, end->sequence);
  }
  if (fact.sequence <= ends_.at(fact.device)) {
    const auto there = store_.at(fact.device, fact.sequence);
    if (!there) return there.problem();
    if (*there && (*there)->hash != fact.hash) refuse_fork(fact);
    if (*there) {
      taken_.already += (*there)->hash == fact.hash ? 1 : 0;
      return Done{};
    }
  }
  const Result<bool> fits = fits_its_neighbours(fact);
  if (!fits) return fits.problem();
  // Ids that two devices share come from one source of chance, so the first gives it away.
  const Result<bool> held = first ? store_.holds(fact.id) : Result<bool>{false};
  if (!held) return held.problem();
  if (!*fits || *held || forked_.contains(fact.device)) {
    refuse_fork(fact);
    return Done{};
  }
  if (Result<Done> added = store_.add(fact); !added) return added;
  ++taken_.facts;
  ++taken_.by_kind[static_cast<std::size_t>(fact.kind)];
  last_ = fact;
  return Done{};
}

Result<Done> TakerIn::take(Fact fact) {
  if (fact.sequence < 1 || fact_hash(fact) != fact.hash) {
    refuse(fact, "its content is not what was written",
           "It was damaged or changed on the way. Bring it in again from the book that it came from.");
    return Done{};
  }
  if (const Result<Done> filed = file_under_its_content(fact); !filed) {
    refuse(fact, filed.problem().found,
           "It may come from a newer strandbook: bring it in with that version.");
    return Done{};
  }
  return place(fact);
}

Result<Done> TakerIn::take(const Head& head) {
  const auto there = store_.at(head.device, head.sequence);
  if (!there) return there.problem();
  if (!*there || (*there)->hash != head.hash) return Done{};
  const Result<std::string> body = store_.key_fact(head.device, head.sequence);
  if (!body) return body.problem();
  if (body->empty()) return Done{};
  const Result<FactFields> fields = FactFields::parse(*body, (*there)->id);
  if (!fields) return fields.problem();
  const Result<KeyRecord> record = key_from(*fields);
  if (!record) return record.problem();
  ++taken_.signatures;
  if (PublicKey(record->public_key)
          .holds(head_statement(head.device, head.sequence, head.hash), head.signature))
    return store_.add(head);
  taken_.refused.push_back({{source_, {}, 0, {}},
                            "the signature at number " + std::to_string(head.sequence) + " of device " +
                                text_of(head.device) + " is not its own",
                            "a signature by the key that the device named",
                            "It was damaged or changed on the way. Bring it in again from where it came."});
  return Done{};
}

Result<Done> TakerIn::take(const Sha256& name, std::string_view bytes) {
  ++taken_.files;
  if (sha256(bytes) == name) return store_.keep({name, bytes});
  taken_.refused.push_back({{source_, {}, 0, {}},
                            "kept file " + text_of(name) + ": its bytes are not what was imported",
                            "the bytes that were imported",
                            "It was damaged on the way. Bring it in again from where it came."});
  return Done{};
}

Result<TakenIn> merge(Store& into, const Store& from) {
  TakenIn taken;
  const Result<Done> done = into.write([&](StoreWriter& writer) -> Result<Done> {
    TakerIn taker(writer, from.place());
    FactQuery query;
    query.order = FactOrder::chain;
    Result<Done> facts = from.read(std::span(&query, 1), [&](const Fact& fact) { return taker.take(fact); });
    if (!facts) return facts;
    Result<Done> heads = from.read_heads(std::nullopt, [&](const Head& head) { return taker.take(head); });
    if (!heads) return heads;
    Result<Done> files =
        from.read_files([&](const Sha256& name, std::string_view bytes) { return taker.take(name, bytes); });
    if (!files) return files;
    taken = std::move(taker).finish();
    return Done{};
  });
  if (!done) return done.problem();
  return taken;
}

}  // namespace strandbook
