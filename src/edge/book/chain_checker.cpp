#include "edge/book/chain_checker.hpp"

#include <algorithm>

namespace strandbook {

ChainChecker::ChainChecker(const Store& store, std::span<const Head> known) : store_(store) {
  for (const Head& head : known) known_.emplace(std::pair(head.device, head.sequence), head.hash);
}

Problem ChainChecker::bad(const Fact& fact, const std::string& why, const std::string& wanted) const {
  return {{store_.place(), {}, 0, {}},
          "fact " + text_of(fact.id) + " (" + std::string(text_of(fact.kind)) + ", number " +
              std::to_string(fact.sequence) + " of device " + text_of(fact.device) + "): " + why,
          wanted,
          "The book was changed from outside or damaged. Work on with the last backup that verifies."};
}

Problem ChainChecker::bad_end(const std::string& found, const std::string& wanted,
                              const std::string& advice) const {
  return {
      {store_.place(), {}, 0, {}}, "device " + text_of(chains_.back().device) + ": " + found, wanted, advice};
}

void ChainChecker::note(const Fact& fact, std::optional<Problem> problem) {
  ChainReport& chain = chains_.back();
  if (!problem || chain.bad) return;
  chain.bad_fact = fact.id;
  chain.bad = std::move(problem);
}

Result<Done> ChainChecker::begin_chain(const Fact& fact) {
  end_chain();
  chains_.emplace_back();
  chains_.back().device = fact.device;
  last_ = Fact{};
  last_.device = fact.device;
  heads_.clear();
  next_head_ = 0;
  keys_.clear();
  return store_.read_heads(fact.device, [this](const Head& head) -> Result<Done> {
    heads_.push_back(head);
    return Done{};
  });
}

Result<Done> ChainChecker::take(const Fact& fact) {
  if (chains_.empty() || fact.device != chains_.back().device)
    if (Result<Done> begun = begin_chain(fact); !begun) return begun;
  ChainReport& chain = chains_.back();
  ++chain.facts;
  note(fact, wrong_with(fact));
  note(fact, wrong_with_content(fact));
  compare_heads(fact);
  if (!chain.bad) chain.in_order_to = fact.sequence;
  last_ = fact;
  return Done{};
}

std::optional<Problem> ChainChecker::wrong_with(const Fact& fact) const {
  if (fact.sequence != last_.sequence + 1) {
    Problem gap = bad(fact, "facts are missing before it", "number " + std::to_string(last_.sequence + 1));
    gap.advice =
        "Bring in the carry-file or the book that holds them. Where there is none, they were taken "
        "out: work on with the last backup that verifies.";
    return gap;
  }
  if (fact.previous != last_.hash)
    return bad(fact, "it does not follow the fact before it", "the hash of the fact before it");
  if (fact_hash(fact) != fact.hash)
    return bad(fact, "its content is not what was written", "content that gives its hash");
  if (fact.id <= last_.id) return bad(fact, "its id is not after the one before it", "rising ids");
  return std::nullopt;
}

std::optional<Problem> ChainChecker::wrong_with_content(const Fact& fact) {
  const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
  if (!fields) return fields.problem();
  if (const Result<Done> readable = check_body(fact.kind, *fields); !readable) return readable.problem();
  for (const Sha256& file : files_named_in(fact.kind, *fields)) files_named_.insert(file);
  if (fact.kind == FactKind::device_key) note_key(fact, *fields);
  if (fact.kind == FactKind::device_retired) note_retirement(*fields);
  return wrong_with_place(fact, *fields);
}

std::optional<Problem> ChainChecker::wrong_with_place(const Fact& fact, const FactFields& fields) const {
  if (fact.kind == FactKind::correction)
    return fact.target == fields.uuid("fact")
               ? std::nullopt
               : std::optional(bad(fact, "it is filed under another fact than it names",
                                   "the fact that its content names"));
  if (fact.subject == subject_of(fact.kind, fields) && !fact.target) return std::nullopt;
  return bad(fact, "it is filed under another strand than it names", "the names that its content gives");
}

void ChainChecker::note_key(const Fact& fact, const FactFields& fields) {
  const Result<KeyRecord> record = key_from(fields);
  if (!record) return;
  keys_.push_back({fact.sequence, PublicKey(record->public_key)});
  chains_.back().keys.push_back(fingerprint_of(record->public_key));
}

void ChainChecker::note_retirement(const FactFields& fields) {
  const Result<Retirement> retirement = retirement_from(fields);
  if (!retirement) return;
  const auto [held, fresh] = retired_.emplace(retirement->device, retirement->last);
  if (!fresh) held->second = std::min(held->second, retirement->last);
}

void ChainChecker::compare_heads(const Fact& fact) {
  if (const auto known = known_.find({fact.device, fact.sequence}); known != known_.end()) {
    if (known->second != fact.hash)
      note(fact,
           bad(fact, "it is not the one that was seen elsewhere", "the hash " + text_of(known->second)));
    known_.erase(known);
  }
  while (next_head_ < heads_.size() && heads_[next_head_].sequence < fact.sequence) ++next_head_;
  if (next_head_ == heads_.size() || heads_[next_head_].sequence != fact.sequence) return;
  if (heads_[next_head_].hash != fact.hash)
    note(fact, bad(fact, "its signature was made for other content", "the fact that was signed"));
}

bool ChainChecker::signature_holds(const Head& head) const {
  const auto key =
      std::find_if(keys_.rbegin(), keys_.rend(), [&](const Key& each) { return each.from <= head.sequence; });
  return key != keys_.rend() &&
         key->key.holds(head_statement(head.device, head.sequence, head.hash), head.signature);
}

/// The last good signature speaks for all before it, so those are looked at only where it is bad.
void ChainChecker::check_signature(ChainReport& chain) {
  for (auto head = heads_.rbegin(); head != heads_.rend(); ++head) {
    if (head->sequence > chain.in_order_to) continue;
    if (signature_holds(*head)) {
      chain.signed_to = head->sequence;
      return;
    }
    if (!chain.bad)
      chain.bad = bad_end("the signature at number " + std::to_string(head->sequence) + " is not its own",
                          "a signature by the key that the device named",
                          "The book was changed from outside or damaged. What is signed before stands.");
  }
}

void ChainChecker::check_end() {
  ChainReport& chain = chains_.back();
  check_signature(chain);
  if (chain.bad) return;
  if (!heads_.empty() && heads_.back().sequence > last_.sequence)
    chain.bad =
        bad_end("its chain ends at number " + std::to_string(last_.sequence) + ", and number " +
                    std::to_string(heads_.back().sequence) + " was signed",
                "all facts up to there", "Facts were taken out. Work on with the last backup that verifies.");
  else if (!keys_.empty() && chain.signed_to < last_.sequence)
    chain.bad = bad_end("facts after number " + std::to_string(chain.signed_to) + " bear no signature",
                        "a signature at the end of the chain",
                        "They were added from outside. What is signed before stands.");
}

void ChainChecker::end_chain() {
  if (!chains_.empty()) check_end();
}

Result<Done> ChainChecker::finish() {
  end_chain();
  for (const auto& known : known_) {
    const std::pair<Uuid, std::int64_t>& place = known.first;
    const auto chain = std::find_if(chains_.begin(), chains_.end(),
                                    [&](const ChainReport& each) { return each.device == place.first; });
    ChainReport& about = chain != chains_.end() ? *chain : chains_.emplace_back();
    about.device = place.first;
    if (about.bad) continue;
    about.bad = Problem{{store_.place(), {}, 0, {}},
                        "device " + text_of(place.first) + ": number " + std::to_string(place.second) +
                            " is not in this book",
                        "the fact that was seen elsewhere",
                        "The book was cut back, or is an older copy. Bring in the newer one."};
  }
  for (ChainReport& chain : chains_)
    if (const auto retired = retired_.find(chain.device); retired != retired_.end())
      chain.ends = retired->second;
  return Done{};
}

}  // namespace strandbook
