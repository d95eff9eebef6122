// Corrections: what may be corrected by what, and the fact that says so.

#include "edge/book/corrections.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/recording.hpp"

namespace strandbook {
namespace {

using Draft = std::optional<FactDraft>;

Problem refused(const Store& store, std::string found, std::string wanted, std::string advice) {
  return {{store.place(), {}, 0, {}}, std::move(found), std::move(wanted), std::move(advice)};
}

Result<Done> check_ground(const Store& store, const Ground& ground) {
  if (!ground.person.empty() && !ground.reason.empty()) return Done{};
  return refused(store, ground.person.empty() ? "no person" : "no reason", "who corrects, and why",
                 "Say both: the history shows them beside the old values.");
}

Result<Fact> needed_fact(const Store& store, const Uuid& id) {
  Result<std::optional<Fact>> fact = find_fact(store, id);
  if (!fact) return fact.problem();
  if (*fact) return std::move(**fact);
  return refused(store, "no fact " + text_of(id), "a fact of this book", "Take its id from the history.");
}

Result<Corrections> corrections_in(const Store& store) {
  FactQuery query;
  query.kind = FactKind::correction;
  Corrections corrections;
  const Result<Done> done =
      store.read(std::span(&query, 1), [&corrections](const Fact& fact) { return corrections.add(fact); });
  if (!done) return done.problem();
  return corrections;
}

FactKind kind_of(const NewValues& values) {
  if (std::holds_alternative<ScheduledStrand>(values)) return FactKind::strand;
  return std::holds_alternative<Reference>(values) ? FactKind::reference : FactKind::reading;
}

/// The values as a body that keeps the old fact's place: a correction does not move a row to another file.
FactDraft replacing_body(NewValues values, const FactFields& old) {
  const RowOrigin origin = origin_of(old);
  const SourceFile source = source_from(old);
  if (const auto* reading = std::get_if<Reading>(&values)) return to_fact(*reading, source, origin);
  const auto keep_place = [&](Place& at) {
    at.file = source.file;
    at.sheet = source.sheet;
  };
  if (auto* strand = std::get_if<ScheduledStrand>(&values)) {
    keep_place(strand->at);
    return to_fact(*strand, origin);
  }
  auto& reference = std::get<Reference>(values);
  keep_place(reference.at);
  return to_fact(reference, origin);
}

Result<FactDraft> correction_draft(const Store& store, const Uuid& id, const NewValues& values,
                                   const Ground& ground) {
  const Result<Fact> named = needed_fact(store, id);
  if (!named) return named.problem();
  const Result<Corrections> corrections = corrections_in(store);
  if (!corrections) return corrections.problem();
  const Result<Fact> root = needed_fact(store, corrections->root_of(named->id));
  if (!root) return root.problem();
  if (root->kind != kind_of(values))
    return refused(store, "new values of a " + std::string(text_of(kind_of(values))),
                   "new values of a " + std::string(text_of(root->kind)), "Take the id of the row you mean.");
  const Result<FactFields> old = FactFields::parse(root->body, root->id);
  if (!old) return old.problem();
  FactDraft body = replacing_body(values, *old);
  return to_fact(Correction{root->id, std::move(body.body), ground.person, ground.reason}, body.subject);
}

Result<FactDraft> withdrawal_draft(const Store& store, const Uuid& id, const Ground& ground) {
  const Result<Fact> named = needed_fact(store, id);
  if (!named) return named.problem();
  const Result<Corrections> corrections = corrections_in(store);
  if (!corrections) return corrections.problem();
  if (corrections->fate_of(id).withdrawn)
    return refused(store, "fact " + text_of(id) + ", withdrawn already", "a fact that counts",
                   "There is nothing left to do.");
  return to_fact(Correction{id, {}, ground.person, ground.reason}, {});
}

/// Looks up and writes in one transaction, so that no other program's correction falls in between.
template <class MakeDraft>
Result<Uuid> append_one(Store& store, const Device& device, const MakeDraft& make) {
  bool begun = false;
  const Result<Appended> appended = store.append(device, {{}, [&](const Uuid&) -> Result<Draft> {
                                                            if (std::exchange(begun, true)) return Draft{};
                                                            Result<FactDraft> draft = make();
                                                            if (!draft) return draft.problem();
                                                            return Draft{std::move(*draft)};
                                                          }});
  if (!appended) return appended.problem();
  return appended->first;
}

}  // namespace

Result<Uuid> correct_fact(Store& store, const Device& device, const Uuid& fact, const NewValues& values,
                          const Ground& ground) {
  const Result<Done> grounded = check_ground(store, ground);
  if (!grounded) return grounded.problem();
  return append_one(store, device, [&] { return correction_draft(store, fact, values, ground); });
}

Result<Uuid> withdraw_fact(Store& store, const Device& device, const Uuid& fact, const Ground& ground) {
  const Result<Done> grounded = check_ground(store, ground);
  if (!grounded) return grounded.problem();
  return append_one(store, device, [&] { return withdrawal_draft(store, fact, ground); });
}

}  // namespace strandbook
