#include "edge/book/stamp_checker.hpp"

#include "edge/book/carry_file.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/time_stamp.hpp"

namespace strandbook {
namespace {

Result<std::string> kept_file(const Store& store, const Sha256& name, const std::string& fact) {
  Result<std::optional<std::string>> bytes = store.file(name);
  if (!bytes) return bytes.problem();
  if (*bytes) return std::move(**bytes);
  return Problem{{store.place(), {}, 0, {}},
                 fact + ": the file " + text_of(name) + " is missing",
                 "the file that the time stamp names",
                 "Work on with the last backup that verifies."};
}

Result<Done> check_stamp(const Store& store, const Fact& fact, const std::string& trusted_roots,
                         StampsFound& found) {
  const std::string name = "time stamp " + text_of(fact.id);
  const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
  if (!fields) return fields.problem();
  const Result<StampRecord> record = stamp_from(*fields);
  if (!record) return record.problem();
  const Result<std::string> ends = kept_file(store, record->ends, name);
  if (!ends) return ends.problem();
  const Result<std::string> token = kept_file(store, record->token, name);
  if (!token) return token.problem();
  const Result<TimeStamp> stamp = read_time_stamp(*token, *ends, name);
  if (!stamp) return stamp.problem();
  const Result<std::vector<Head>> heads = parse_heads(*ends, name);
  if (!heads) return heads.problem();
  StampFound one{stamp->time_s, stamp->authority, heads->size(), {}};
  if (!trusted_roots.empty()) one.trusted = static_cast<bool>(check_trust(*stamp, trusted_roots));
  found.stamps.push_back(std::move(one));
  found.ends.insert(found.ends.end(), heads->begin(), heads->end());
  return Done{};
}

}  // namespace

Result<StampsFound> check_stamps(const Store& store, const std::string& trusted_roots) {
  FactQuery query;
  query.kind = FactKind::time_stamp;
  const Result<std::vector<Fact>> facts = facts_of(store, query);
  if (!facts) return facts.problem();
  StampsFound found;
  for (const Fact& fact : *facts)
    if (Result<Done> done = check_stamp(store, fact, trusted_roots, found); !done) return done.problem();
  return found;
}

}  // namespace strandbook
