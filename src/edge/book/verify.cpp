#include "edge/book/verify.hpp"

#include <set>

#include "edge/book/domain_facts.hpp"

namespace strandbook {
namespace {

class ChainChecker {
 public:
  ChainChecker(const Store& store, Verification& verification) : store_(store), verification_(verification) {}

  Result<Done> take(const Fact& fact) {
    if (verification_.devices == 0 || fact.device != last_.device) begin_chain(fact);
    Result<Done> done = check(fact);
    if (!done) verification_.bad_fact = fact.id;
    if (done) ++verification_.facts;
    last_ = fact;
    return done;
  }
  const std::set<Sha256>& files_named() const { return files_named_; }

 private:
  void begin_chain(const Fact& fact) {
    ++verification_.devices;
    last_ = Fact{};
    last_.device = fact.device;
  }

  Problem bad(const Fact& fact, const std::string& why, const std::string& wanted) const {
    return {{store_.place(), {}, 0, {}},
            "fact " + text_of(fact.id) + " (" + std::string(text_of(fact.kind)) + ", number " +
                std::to_string(fact.sequence) + " of device " + text_of(fact.device) + "): " + why,
            wanted,
            "The book was changed from outside or damaged. Work on with the last backup that verifies."};
  }

  Result<Done> check(const Fact& fact) {
    if (fact.sequence != last_.sequence + 1)
      return bad(fact, "facts are missing before it", "number " + std::to_string(last_.sequence + 1));
    if (fact.previous != last_.hash)
      return bad(fact, "it does not follow the fact before it", "the hash of the fact before it");
    if (fact_hash(fact) != fact.hash)
      return bad(fact, "its content is not what was written", "content that gives its hash");
    if (fact.id <= last_.id) return bad(fact, "its id is not after the one before it", "rising ids");
    return check_content(fact);
  }

  Result<Done> check_content(const Fact& fact) {
    const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
    if (!fields) return fields.problem();
    const Result<Done> readable = check_body(fact.kind, *fields);
    if (!readable) return readable.problem();
    if (fact.kind == FactKind::correction) return check_correction(fact, *fields);
    if (fact.kind == FactKind::import)
      files_named_.insert(parse_sha256(fields->text("sha256")).value_or(Sha256{}));
    if (fact.subject != subject_of(fact.kind, *fields) || fact.target)
      return bad(fact, "it is filed under another strand than it names", "the names that its content gives");
    return Done{};
  }

  Result<Done> check_correction(const Fact& fact, const FactFields& fields) const {
    if (fact.target != fields.uuid("fact"))
      return bad(fact, "it is filed under another fact than it names", "the fact that its content names");
    return Done{};
  }

  const Store& store_;
  Verification& verification_;
  Fact last_;
  std::set<Sha256> files_named_;
};

Problem bad_file(const Store& store, const Sha256& name, const std::string& why) {
  return {{store.place(), {}, 0, {}},
          "kept file " + text_of(name) + ": " + why,
          "the bytes that were imported",
          "Work on with the last backup that verifies, or import the file again into a new book."};
}

Result<Done> check_files(const Store& store, std::set<Sha256> named, Verification& verification) {
  const Result<Done> done = store.read_files([&](const Sha256& name, std::string_view bytes) -> Result<Done> {
    if (sha256(bytes) != name) return bad_file(store, name, "its bytes are not what was written");
    ++verification.files;
    named.erase(name);
    return Done{};
  });
  if (!done) return done.problem();
  if (!named.empty()) return bad_file(store, *named.begin(), "an import names it, and it is missing");
  return Done{};
}

Result<Done> check_all(const Store& store, Verification& verification) {
  ChainChecker checker(store, verification);
  FactQuery query;
  query.order = FactOrder::chain;
  const Result<Done> chained =
      store.read(std::span(&query, 1), [&checker](const Fact& fact) { return checker.take(fact); });
  if (!chained) return chained.problem();
  const Result<Done> filed = check_files(store, checker.files_named(), verification);
  if (!filed) return filed.problem();
  return store.check_container();
}

}  // namespace

Verification verify(const Store& store) {
  Verification verification;
  const Result<Done> done = check_all(store, verification);
  if (!done) verification.bad = done.problem();
  return verification;
}

}  // namespace strandbook
