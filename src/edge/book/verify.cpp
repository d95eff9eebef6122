#include "edge/book/verify.hpp"

#include <set>

#include "edge/book/chain_checker.hpp"
#include "edge/book/stamp_checker.hpp"

namespace strandbook {
namespace {

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
  if (!named.empty()) return bad_file(store, *named.begin(), "a fact names it, and it is missing");
  return Done{};
}

void sum_up(std::vector<ChainReport> chains, Verification& verification) {
  for (const ChainReport& chain : chains) {
    verification.facts += static_cast<std::size_t>(chain.in_order_to);
    if (!chain.bad || verification.bad) continue;
    verification.bad = chain.bad;
    verification.bad_fact = chain.bad_fact;
  }
  verification.chains = std::move(chains);
}

Result<Done> check_all(const Store& store, std::span<const Head> known, Verification& verification) {
  ChainChecker checker(store, known);
  FactQuery query;
  query.order = FactOrder::chain;
  Result<Done> read =
      store.read(std::span(&query, 1), [&checker](const Fact& fact) { return checker.take(fact); });
  Result<Done> finished = checker.finish();
  sum_up(checker.take_chains(), verification);
  if (!read) return read;
  if (!finished) return finished;
  Result<Done> filed = check_files(store, checker.files_named(), verification);
  if (!filed) return filed;
  return store.check_container();
}

}  // namespace

Verification verify(const Store& store, std::span<const Head> known, const std::string& trusted_roots) {
  Verification verification;
  std::vector<Head> ends(known.begin(), known.end());
  Result<StampsFound> stamps = check_stamps(store, trusted_roots);
  if (stamps) {
    ends.insert(ends.end(), stamps->ends.begin(), stamps->ends.end());
    verification.stamps = std::move(stamps->stamps);
  }
  const Result<Done> done = check_all(store, ends, verification);
  if (!done && !verification.bad) verification.bad = done.problem();
  if (!stamps && !verification.bad) verification.bad = stamps.problem();
  return verification;
}

}  // namespace strandbook
