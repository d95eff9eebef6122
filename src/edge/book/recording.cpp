#include "edge/book/recording.hpp"

#include <array>
#include <utility>

#include "edge/book/corrections.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/import_drafts.hpp"

namespace strandbook {
namespace {

using Draft = std::optional<FactDraft>;

/// Imports in the book that still count and come from the same bytes for the same purpose.
struct EarlierImports {
  std::optional<Uuid> same;     ///< understood the same way
  std::vector<Uuid> differing;  ///< understood otherwise
};

Result<Done> take_note(EarlierImports& earlier, const Fact& fact, const ImportRecord& wanted) {
  const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
  if (!fields) return fields.problem();
  const Result<ImportRecord> import = import_from(*fields);
  if (!import) return import.problem();
  if (import->hash != wanted.hash || import->purpose != wanted.purpose) return Done{};
  if (import->understood == wanted.understood) {
    earlier.same = fact.id;
  } else {
    earlier.differing.push_back(fact.id);
  }
  return Done{};
}

Result<EarlierImports> earlier_imports(const Store& store, const ImportRecord& wanted) {
  std::array<FactQuery, 2> queries;
  queries[0].kind = FactKind::correction;
  queries[1].kind = FactKind::import;
  EarlierImports earlier;
  Corrections corrections;
  const Result<Done> done = store.read(queries, [&](const Fact& fact) -> Result<Done> {
    if (fact.kind == FactKind::correction) return corrections.add(fact);
    if (corrections.fate_of(fact.id).withdrawn) return Done{};
    return take_note(earlier, fact, wanted);
  });
  if (!done) return done.problem();
  return earlier;
}

/// The import's own fact, the withdrawal of readings of the same file under other choices, then the rows.
class ImportDrafts {
 public:
  ImportDrafts(const Store& store, const ImportRecord& record, const RowsToAdd& rows)
      : store_(store), record_(record), rows_(rows) {}

  Result<Draft> next(const Uuid& first) {
    if (!begun_) return begin();
    if (withdrawn_ < earlier_.differing.size())
      return Draft{
          to_fact(Correction{earlier_.differing[withdrawn_++], {}, {}, "read again with other choices"}, {})};
    return rows_.next(first);
  }
  const EarlierImports& earlier() const { return earlier_; }

 private:
  Result<Draft> begin() {
    begun_ = true;
    Result<EarlierImports> earlier = earlier_imports(store_, record_);
    if (!earlier) return earlier.problem();
    earlier_ = std::move(*earlier);
    if (earlier_.same) return Draft{};
    return Draft{to_fact(record_)};
  }

  const Store& store_;
  const ImportRecord& record_;
  RowDrafts rows_;
  EarlierImports earlier_;
  std::size_t withdrawn_ = 0;
  bool begun_ = false;
};

Imported outcome_of(const ImportedFile& file, const EarlierImports& earlier, const Appended& appended) {
  if (earlier.same)
    return {ImportOutcome::already_in_book, *earlier.same, 0,
            file.name + " is already in the book, understood the same way: nothing was added."};
  if (earlier.differing.empty()) return {ImportOutcome::added, appended.first, appended.facts, {}};
  return {ImportOutcome::replaced_earlier, appended.first, appended.facts,
          file.name +
              " was in the book, understood otherwise: its earlier rows no longer count and stay in the "
              "history."};
}

Result<Uuid> add_one(Store& store, const Device& device, const FactDraft& draft) {
  const Result<Appended> appended = append(store, device, std::span(&draft, 1));
  if (!appended) return appended.problem();
  return appended->first;
}

Result<Appended> add_entry(Store& store, const Device& device, Draft draft, std::string_view entry) {
  return store.append(
      device, {{}, [&draft](const Uuid&) -> Result<Draft> { return std::exchange(draft, {}); }, entry});
}

}  // namespace

Result<Imported> add_import(Store& store, const Device& device, const ImportedFile& file,
                            const RowsToAdd& rows) {
  const ImportRecord record{file.name, sha256(file.bytes), file.purpose, file.understood, file.notes};
  ImportDrafts drafts(store, record, rows);
  const Batch batch{{{record.hash, file.bytes}}, [&drafts](const Uuid& first) { return drafts.next(first); }};
  const Result<Appended> appended = store.append(device, batch);
  if (!appended) return appended.problem();
  return outcome_of(file, drafts.earlier(), *appended);
}

Result<Appended> add_rows(Store& store, const Device& device, const RowsToAdd& rows) {
  RowDrafts drafts(rows);
  return store.append(
      device,
      {{}, [&drafts](const Uuid&) -> Result<Draft> { return drafts.next(std::nullopt); }, rows.entry});
}

Result<Uuid> set_job(Store& store, const Device& device, const JobRecord& job) {
  return add_one(store, device, to_fact(job));
}

Result<Uuid> choose_rule(Store& store, const Device& device, const RuleChoice& choice) {
  return add_one(store, device, to_fact(choice));
}

Result<Uuid> add_remark(Store& store, const Device& device, const Remark& remark) {
  return add_one(store, device, to_fact(remark));
}

Result<Appended> add_cord_check(Store& store, const Device& device, const CordCheck& check,
                                std::string_view entry) {
  return add_entry(store, device, to_fact(check, entry), entry);
}

Result<Appended> add_splice_attempt(Store& store, const Device& device, const SpliceAttempt& attempt,
                                    std::string_view entry) {
  return add_entry(store, device, to_fact(attempt, entry), entry);
}

}  // namespace strandbook
