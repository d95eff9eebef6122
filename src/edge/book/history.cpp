#include "edge/book/history.hpp"

#include <array>
#include <map>
#include <set>

#include "edge/book/book_state.hpp"
#include "edge/book/corrections.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/fact_summary.hpp"

namespace strandbook {
namespace {

/// Corrections and imports: what decides whether a row counts.
struct Background {
  Corrections corrections;
  std::map<Uuid, std::string> file_names;  ///< of imports
};

Result<Background> background_of(const Store& store) {
  std::array<FactQuery, 2> queries;
  queries[0].kind = FactKind::correction;
  queries[1].kind = FactKind::import;
  Background background;
  const Result<Done> done = store.read(queries, [&background](const Fact& fact) -> Result<Done> {
    if (fact.kind == FactKind::correction) return background.corrections.add(fact);
    const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
    if (!fields) return fields.problem();
    background.file_names.emplace(fact.id, fields->text("file"));
    return Done{};
  });
  if (!done) return done.problem();
  return background;
}

/// As facts of its own row name it.
Subject own_name(const ScheduledStrand& strand) { return {link_name(strand), strand.strand}; }

/// Which strand a name means, as readings are matched.
class NameResolver {
 public:
  NameResolver(const Schedule& schedule, NameRepairs confirmed)
      : schedule_(schedule), confirmed_(confirmed), index_(schedule) {}
  std::uint32_t strand_of(const Subject& name) const {
    const std::uint32_t exact = index_.find(name.link, name.strand);
    if (exact != no_strand) return exact;
    if (!guesser_) guesser_.emplace(schedule_);
    const NameMatch match = guesser_->guess(name.link, name.strand);
    return (match.repairs & ~confirmed_) == 0 ? match.strand : no_strand;
  }

 private:
  const Schedule& schedule_;
  NameRepairs confirmed_;
  StrandIndex index_;
  mutable std::optional<NameGuesser> guesser_;  ///< made when a name is not in the schedule
};

/// The names under which facts speak of the strand.
Result<std::vector<Subject>> names_of(const Store& store, const Subject& wanted, NameRepairs confirmed) {
  const Result<BookState> state = current_schedule(store);
  if (!state) return state.problem();
  const NameResolver resolver(state->schedule, confirmed);
  const std::uint32_t strand = resolver.strand_of(wanted);
  Result<std::vector<Subject>> all = store.subjects();
  if (!all) return all.problem();
  std::erase_if(*all, [&](const Subject& name) {
    return name != wanted && (strand == no_strand || resolver.strand_of(name) != strand);
  });
  return all;
}

void add_with_corrections(std::set<Uuid>& ids, const Uuid& fact, const Corrections& corrections) {
  if (!ids.insert(fact).second) return;
  for (const Uuid& correction : corrections.naming(fact)) add_with_corrections(ids, correction, corrections);
}

Result<std::set<Uuid>> ids_of(const Store& store, const std::vector<Subject>& names,
                              const Corrections& corrections) {
  std::vector<FactQuery> queries;
  for (const Subject& name : names) {
    FactQuery query;
    query.subject = name;
    queries.push_back(query);
  }
  std::set<Uuid> ids;
  const Result<Done> done = store.read(queries, [&](const Fact& fact) -> Result<Done> {
    add_with_corrections(ids, corrections.root_of(fact.id), corrections);
    return Done{};
  });
  if (!done) return done.problem();
  return ids;
}

FactStanding standing_of(const Fact& fact, const RowOrigin& origin, const Corrections& corrections) {
  const Fate fate = corrections.fate_of(fact.id);
  if (fate.withdrawn) return FactStanding::withdrawn;
  if (origin && corrections.fate_of(*origin).withdrawn) return FactStanding::withdrawn_with_import;
  return fate.by == nullptr ? FactStanding::counts : FactStanding::corrected;
}

Result<HistoryEntry> entry_of(Fact fact, const Background& background) {
  const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
  if (!fields) return fields.problem();
  HistoryEntry entry;
  const RowOrigin origin = origin_of(*fields);
  const auto file = origin ? background.file_names.find(*origin) : background.file_names.end();
  const std::string name =
      file == background.file_names.end() ? std::string(fields->text("file")) : file->second;
  entry.summary = summary_of(fact.kind, *fields, name);
  entry.standing = standing_of(fact, origin, background.corrections);
  const Fate fate = background.corrections.fate_of(fact.id);
  if (fate.by != nullptr) entry.corrected_by = fate.by->id;
  if (fact.kind == FactKind::correction) {
    entry.corrects = fact.target;
    entry.reason = fields->text("reason");
  }
  entry.person = fields->text("person");
  entry.fact = std::move(fact);
  return entry;
}

}  // namespace

std::string_view text_of(FactStanding standing) {
  switch (standing) {
    case FactStanding::counts:
      return "counts";
    case FactStanding::corrected:
      return "corrected";
    case FactStanding::withdrawn:
      return "withdrawn";
    case FactStanding::withdrawn_with_import:
      return "withdrawn with its file";
  }
  return {};
}

Result<std::vector<HistoryEntry>> history(const Store& store, const std::vector<Subject>& names) {
  const Result<Background> background = background_of(store);
  if (!background) return background.problem();
  const Result<std::set<Uuid>> ids = ids_of(store, names, background->corrections);
  if (!ids) return ids.problem();
  std::vector<HistoryEntry> entries;
  for (const Uuid& id : *ids) {
    Result<std::optional<Fact>> fact = find_fact(store, id);
    if (!fact) return fact.problem();
    if (!*fact) continue;
    Result<HistoryEntry> entry = entry_of(std::move(**fact), *background);
    if (!entry) return entry.problem();
    entries.push_back(std::move(*entry));
  }
  return entries;
}

Result<std::vector<HistoryEntry>> history(const Store& store, std::string_view link, std::string_view strand,
                                          NameRepairs confirmed) {
  const Result<std::vector<Subject>> names =
      names_of(store, {std::string(link), std::string(strand)}, confirmed);
  if (!names) return names.problem();
  return history(store, *names);
}

Result<OtherNames> OtherNames::of(const Store& store, const Schedule& schedule, NameRepairs confirmed) {
  const Result<std::vector<Subject>> all = store.subjects();
  if (!all) return all.problem();
  OtherNames result;
  const NameResolver resolver(schedule, confirmed);
  for (const Subject& name : *all) {
    const std::uint32_t strand = resolver.strand_of(name);
    if (strand != no_strand && name != own_name(schedule[strand])) result.others_[strand].push_back(name);
  }
  return result;
}

std::vector<Subject> OtherNames::names_of(const Schedule& schedule, std::uint32_t strand) const {
  std::vector<Subject> names{own_name(schedule[strand])};
  const auto others = others_.find(strand);
  if (others != others_.end()) names.insert(names.end(), others->second.begin(), others->second.end());
  return names;
}

}  // namespace strandbook
