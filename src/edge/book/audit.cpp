#include "edge/book/audit.hpp"

#include "edge/book/fact_fields.hpp"
#include "edge/book/fact_summary.hpp"

namespace strandbook {

Result<std::vector<AuditLine>> audit(const Store& store, const std::optional<Uuid>& before,
                                     std::size_t most) {
  FactQuery query;
  query.order = FactOrder::latest;
  query.before = before;
  query.most = most;
  std::vector<AuditLine> lines;
  const Result<Done> done = store.read(std::span(&query, 1), [&](const Fact& fact) -> Result<Done> {
    const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
    if (!fields) return fields.problem();
    lines.push_back({fact, std::string(fields->text("by")),
                     summary_of(fact.kind, *fields, std::string(fields->text("file")))});
    return Done{};
  });
  if (!done) return done.problem();
  return lines;
}

}  // namespace strandbook
