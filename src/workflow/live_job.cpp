#include <algorithm>

#include "domain/diagnosis/judged_splices.hpp"
#include "workflow/live_job_inside.hpp"
#include "workflow/splice_work.hpp"

namespace strandbook {
namespace {

template <class T>
void erase_at(std::vector<T>& list, std::size_t at) {
  list.erase(list.begin() + static_cast<std::ptrdiff_t>(at));
}

}  // namespace

JobView LiveJob::Inside::view() const {
  return {revision,
          state.name,
          judgement.get(),
          problem,
          judgement ? judgement->all().schedule : state.schedule,
          judgement ? judgement->all().references : state.references,
          state.schedule_facts,
          state.reference_facts,
          state.reading_facts,
          state.trace_facts,
          state.unread,
          state.imports,
          state.rule_choices,
          state.remarks,
          state.cord_checks,
          rulebook.get()};
}

/// Judges the rows just read, by the last rule choice. What stands in the way becomes `problem`; the rows
/// stay.
void LiveJob::Inside::judge() {
  const Result<JobSettings> settings = settled(state.rule_choices, {});
  if (!settings) {
    problem = settings.problem();
    return;
  }
  Result<KnownRules> known = know_rules(own_rules_of(*settings), {});
  if (!known) {
    problem = known.problem();
    return;
  }
  rulebook = known->rulebook;
  diagnosis = known->practice.diagnosis;
  trace_demands = settings->traces;
  Result<JudgeSettings> how = judge_settings(*known, *settings, state.schedule);
  if (!how) {
    problem = how.problem();
    return;
  }
  JobInput rows{std::move(state.schedule), std::move(state.references), std::move(state.readings),
                std::move(state.records), std::move(state.traces)};
  Result<std::unique_ptr<LiveJudgement>> judged =
      LiveJudgement::begin(std::move(rows), *rulebook, std::move(*how));
  if (!judged) {
    problem = judged.problem();
    return;
  }
  judgement = std::move(*judged);
  const Assessment& all = judgement->all();
  for (const std::uint32_t row : all.continuity.unplaced)
    state.unread.push_back(unplaced_path(all.records.light_paths[row]));
  for (const Problem& trace : unplaced_traces(all)) state.unread.push_back(trace);
  for (const Problem& attempt : unplaced_attempts(all)) state.unread.push_back(attempt);
}

/// Reads the book anew and puts what it says in place of what was held.
Result<Done> LiveJob::Inside::load() {
  const Result<std::int64_t> version = book.store->outside_version();
  if (!version) return version.problem();
  Inside fresh;
  {
    const std::lock_guard lock(reading);
    const Result<BookReach> known = reach_of(*reader.store);
    if (!known) return known.problem();
    fresh.reach = *known;
    Result<BookState> read = current_state(*reader.store);
    if (!read) return read.problem();
    fresh.state = std::move(*read);
  }
  fresh.judge();
  const std::unique_lock lock(held);
  state = std::move(fresh.state);
  rulebook = std::move(fresh.rulebook);
  judgement = std::move(fresh.judgement);
  diagnosis = std::move(fresh.diagnosis);
  trace_demands = std::move(fresh.trace_demands);
  engine.reset();
  problem = std::move(fresh.problem);
  outside_version = *version;
  reach = fresh.reach;
  since.clear();
  names_stale = true;
  ++revision;
  return Done{};
}

std::optional<Recorded> LiveJob::Inside::recorded_before(const std::string& entry) const {
  const auto known = state.entries.find(entry);
  if (entry.empty() || known == state.entries.end()) return std::nullopt;
  return Recorded{known->second, true, revision};
}

/// The findings of this revision: only what changed since the last look is looked at again. Under `finding`.
const Findings& LiveJob::Inside::present_findings() const {
  static const Findings none;
  if (!judgement) return none;
  const bool whole = !engine || all_changed;
  if (!engine)
    engine = std::make_unique<FindingEngine>(
        FindingSettings{judgement->settings().references, diagnosis, trace_demands});
  if (whole)
    engine->examine(judgement->all());
  else if (!changed_strands.empty())
    engine->examine(judgement->all(), changed_strands);
  all_changed = false;
  changed_strands.clear();
  return engine->findings();
}

/// For the findings.
void LiveJob::Inside::note(const JudgementChange& change) {
  all_changed = all_changed || change.whole;
  changed_strands.insert(changed_strands.end(), change.strands.begin(), change.strands.end());
}

LiveJob::LiveJob() : inside_(std::make_unique<Inside>()) {}
LiveJob::~LiveJob() = default;

Result<std::unique_ptr<LiveJob>> LiveJob::open(const std::string& path) {
  std::unique_ptr<LiveJob> job(new LiveJob());
  Result<OpenBook> book = open_book(path);
  if (!book) return book.problem();
  Result<OpenBook> reader = open_book(path);
  if (!reader) return reader.problem();
  job->inside_->book = std::move(*book);
  job->inside_->reader = std::move(*reader);
  const Result<Done> loaded = job->inside_->load();
  if (!loaded) return loaded.problem();
  return job;
}

void LiveJob::tell(JudgementChange tests) const {
  if (watcher_) watcher_({inside_->revision, std::move(tests)});
}

Result<Done> LiveJob::reload() {
  const Result<Done> loaded = inside_->load();
  if (!loaded) return loaded.problem();
  tell({{}, true});
  return Done{};
}

void LiveJob::look(const std::function<void(const JobView&)>& look) const {
  const std::shared_lock lock(inside_->held);
  look(inside_->view());
}

void LiveJob::look_at_findings(const std::function<void(const JobView&, const Findings&)>& look) const {
  const std::shared_lock lock(inside_->held);
  const std::lock_guard finding(inside_->finding);
  look(inside_->view(), inside_->present_findings());
}

Result<Done> LiveJob::preview(const Reading& reading,
                              const std::function<void(const JobView&, const JudgedTest&)>& show) {
  // A preview borrows a row of the readings for a moment, hence the lock of a writer.
  const std::unique_lock lock(inside_->held);
  if (!inside_->judgement) return *inside_->problem;
  const Result<JudgedTest> test = inside_->judgement->preview(reading);
  if (!test) return test.problem();
  show(inside_->view(), *test);
  return Done{};
}

Result<Recorded> LiveJob::record(const std::string& entry, const Reading& reading, const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  if (const auto before = inside_->recorded_before(entry)) return *before;
  ReadingSet one;
  one.rows.push_back(reading);
  one.rows.front().file = 0;
  const Result<Appended> added =
      add_rows(*inside_->book.store, inside_->book.device, {.readings = &one, .entry = entry});
  if (!added) return added.problem();
  if (added->already) return recorded_elsewhere(added->first);
  return keep(entry, added->first, [&](LiveJudgement& judgement) {
    if (!is_own_name(judgement, reading)) inside_->names_stale = true;
    inside_->state.reading_facts.push_back(added->first);
    return judgement.add(reading);
  });
}

Result<Recorded> LiveJob::record(const std::string& entry, const Reference& reference,
                                 const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  if (const auto before = inside_->recorded_before(entry)) return *before;
  const Result<Appended> added = add_rows(*inside_->book.store, inside_->book.device,
                                          {.references = std::span(&reference, 1), .entry = entry});
  if (!added) return added.problem();
  if (added->already) return recorded_elsewhere(added->first);
  return keep(entry, added->first, [&](LiveJudgement& judgement) {
    inside_->state.reference_facts.push_back(added->first);
    return judgement.add(reference);
  });
}

/// Another service on the same book had recorded it: what else it wrote is taken in with it.
Result<Recorded> LiveJob::recorded_elsewhere(const Uuid& fact) {
  const Result<Done> loaded = reload();
  if (!loaded) return loaded.problem();
  return Recorded{fact, true, inside_->revision};
}

/// What was written is now held as well. Where nothing is judged yet the book is read anew.
Result<Recorded> LiveJob::keep(const std::string& entry, const Uuid& fact,
                               const std::function<Result<JudgementChange>(LiveJudgement&)>& take) {
  if (!inside_->judgement) {
    const Result<Done> loaded = reload();
    if (!loaded) return loaded.problem();
    return Recorded{fact, false, inside_->revision};
  }
  std::unique_lock lock(inside_->held);
  inside_->since.insert(fact);
  const Result<JudgementChange> change = take(*inside_->judgement);
  if (!change) return change.problem();
  inside_->note(*change);
  if (!entry.empty()) inside_->state.entries.emplace(entry, fact);
  const std::uint64_t revision = ++inside_->revision;
  lock.unlock();
  tell(*change);
  return Recorded{fact, false, revision};
}

Result<Recorded> LiveJob::record(const std::string& entry, const CordCheck& check, const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  if (const auto before = inside_->recorded_before(entry)) return *before;
  const Result<Appended> added = add_cord_check(*inside_->book.store, inside_->book.device, check, entry);
  if (!added) return added.problem();
  if (added->already) return recorded_elsewhere(added->first);
  return keep_beside(added->first, [&](BookState& state, std::int64_t time_ms) {
    state.cord_checks.push_back({added->first, time_ms, check});
    if (!entry.empty()) state.entries.emplace(entry, added->first);
  });
}

Result<Recorded> LiveJob::record(const std::string& entry, const SpliceAttempt& attempt,
                                 const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  if (const auto before = inside_->recorded_before(entry)) return *before;
  const Result<SpliceAttempt> placed = placed_attempt(inside_->view().schedule, attempt);
  if (!placed) return placed.problem();
  const Result<Appended> added =
      add_splice_attempt(*inside_->book.store, inside_->book.device, *placed, entry);
  if (!added) return added.problem();
  if (const Result<Done> loaded = reload(); !loaded) return loaded.problem();
  return Recorded{added->first, added->already, inside_->revision};
}

/// What was written touches no test.
Result<Recorded> LiveJob::keep_beside(const Uuid& fact,
                                      const std::function<void(BookState&, std::int64_t)>& put) {
  const Result<std::optional<Fact>> written = find_fact(*inside_->book.store, fact);
  if (!written) return written.problem();
  std::unique_lock lock(inside_->held);
  inside_->since.insert(fact);
  put(inside_->state, *written ? (*written)->time_ms : 0);
  const std::uint64_t revision = ++inside_->revision;
  lock.unlock();
  tell({});
  return Recorded{fact, false, revision};
}

Result<Done> LiveJob::correct(const std::string& fact, const std::map<std::string, std::string>& values,
                              const Ground& ground, const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  const Result<Uuid> id = fact_named(fact);
  if (!id) return id.problem();
  const JobView view = inside_->view();
  const std::vector<Reading>& readings =
      inside_->judgement ? inside_->judgement->all().readings.rows : inside_->state.readings.rows;
  ReadingSet texts;
  const Result<NewValues> row = new_values(
      {view.schedule, view.strand_facts, view.references, view.reference_facts, readings, view.reading_facts},
      *id, values, texts);
  if (!row) return row.problem();
  const Result<Uuid> done = correct_fact(*inside_->book.store, inside_->book.device, *id, *row, ground);
  if (!done) return done.problem();
  if (values.contains("link") || values.contains("strand")) inside_->names_stale = true;
  return changed(*id, *done, &*row);
}

Result<Done> LiveJob::withdraw(const std::string& fact, const Ground& ground, const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  const Result<Uuid> id = fact_named(fact);
  if (!id) return id.problem();
  const Result<Uuid> done = withdraw_fact(*inside_->book.store, inside_->book.device, *id, ground);
  if (!done) return done.problem();
  return changed(*id, *done, nullptr);
}

/// A row has new values, or none any more. Readings and references change in memory; all else is rare, and
/// the book is read anew.
Result<Done> LiveJob::changed(const Uuid& fact, const Uuid& correction, const NewValues* values) {
  const auto reading = row_of(inside_->state.reading_facts, fact);
  const auto reference = row_of(inside_->state.reference_facts, fact);
  if (!inside_->judgement || (!reading && !reference)) return reload();
  const Result<Recorded> kept = keep({}, correction, [&](LiveJudgement& judgement) {
    if (reading && values != nullptr) return judgement.replace(*reading, std::get<Reading>(*values));
    if (reading) {
      erase_at(inside_->state.reading_facts, *reading);
      return judgement.erase_reading(*reading);
    }
    if (values != nullptr) return judgement.replace(*reference, std::get<Reference>(*values));
    erase_at(inside_->state.reference_facts, *reference);
    return judgement.erase_reference(*reference);
  });
  if (!kept) return kept.problem();
  return Done{};
}

Result<Done> LiveJob::settle_rule(const JobSettings& settings, const Ground& ground, const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  const Result<Done> done = strandbook::settle_rule(inside_->book, settings, ground);
  if (!done) return done.problem();
  return reload();
}

Result<Recorded> LiveJob::remark(const Remark& remark, const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  const Result<Uuid> fact = add_remark(*inside_->book.store, inside_->book.device, remark);
  if (!fact) return fact.problem();
  return keep_beside(*fact, [&](BookState& state, std::int64_t time_ms) {
    state.remarks.push_back({*fact, time_ms, remark});
  });
}

Result<Imported> LiveJob::import(const ImportedFile& file, const RowsToAdd& rows, const std::string& by) {
  const std::lock_guard writing(inside_->writing);
  inside_->book.device.by = by;
  Result<Imported> imported = add_import(*inside_->book.store, inside_->book.device, file, rows);
  if (!imported) return imported;
  const Result<Done> loaded = reload();
  if (!loaded) return loaded.problem();
  return imported;
}

/// Names under which facts speak of a strand; none where it is not in the schedule by this name.
Result<std::vector<Subject>> LiveJob::Inside::names_of(const std::string& link, const std::string& strand) {
  const std::shared_lock lock(held);
  const std::uint32_t index = judgement ? judgement->find(link, strand) : no_strand;
  if (index == no_strand) return std::vector<Subject>{};
  const Schedule& schedule = judgement->all().schedule;
  if (names_stale.exchange(false) || !names) {
    Result<OtherNames> fresh = OtherNames::of(*reader.store, schedule);
    if (!fresh) {
      names_stale = true;
      return fresh.problem();
    }
    names = std::move(*fresh);
  }
  return names->names_of(schedule, index);
}

Result<std::vector<HistoryEntry>> LiveJob::history(const std::string& link, const std::string& strand) const {
  const std::lock_guard lock(inside_->reading);
  const Result<std::vector<Subject>> names = inside_->names_of(link, strand);
  if (!names) return names.problem();
  if (names->empty()) return strandbook::history(*inside_->reader.store, link, strand);
  return strandbook::history(*inside_->reader.store, *names);
}

Result<std::vector<AuditLine>> LiveJob::audit(const std::optional<Uuid>& before, std::size_t most) const {
  const std::lock_guard lock(inside_->reading);
  return strandbook::audit(*inside_->reader.store, before, most);
}

Result<bool> LiveJob::refresh() {
  const std::unique_lock writing(inside_->writing, std::try_to_lock);
  if (!writing.owns_lock()) return false;
  const Result<std::int64_t> version = inside_->book.store->outside_version();
  if (!version) return version.problem();
  if (*version == inside_->outside_version) return false;
  const Result<bool> taken = take_newer(*version);
  if (taken && *taken) return true;
  const Result<Done> loaded = reload();
  if (!loaded) return loaded.problem();
  return true;
}

Result<Merged> LiveJob::merge(const std::string& source) {
  const std::lock_guard writing(inside_->writing);
  Result<Merged> merged = merge_into(inside_->book, source);
  if (!merged) return merged;
  const Result<Done> loaded = reload();
  if (!loaded) return loaded.problem();
  return merged;
}

Result<OpenBook> LiveJob::opened_again() const { return open_book(inside_->reader.store->place()); }

Result<JudgedWork> LiveJob::judged_copy(const Progress& progress) const {
  Result<OpenBook> opened = opened_again();
  if (!opened) return opened.problem();
  const auto book = std::make_shared<const OpenBook>(std::move(*opened));
  Result<JudgedWork> work = judge_book(*book, {}, progress);
  if (work) work->files = files_of(book);
  return work;
}

}  // namespace strandbook
