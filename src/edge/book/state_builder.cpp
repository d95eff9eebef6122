#include "edge/book/state_builder.hpp"

#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

/// Values of a row, whatever its place.
std::string values_of(ScheduledStrand strand) {
  strand.at = {};
  return to_fact(strand, std::nullopt).body;
}

std::string key_of(const ScheduledStrand& strand) {
  std::string key = link_name(strand);
  key += '\x1f';
  return key + strand.strand;
}

}  // namespace

Result<Done> StateBuilder::take(const Fact& fact) {
  if (fact.kind == FactKind::device_retired) return take_retirement(fact);
  if (const Retirement* retired = retirement_over(fact); retired != nullptr) {
    ++state_.cut_off[retired->device];
    return Done{};
  }
  if (fact.kind == FactKind::correction) return corrections_.add(fact);
  if (comes_again(fact)) {
    ++state_.doubled;
    return Done{};
  }
  const Fate fate = corrections_.fate_of(fact.id);
  if (fate.withdrawn) {
    ++state_.withdrawn;
    if (fact.kind == FactKind::import) withdrawn_imports_.insert(fact.id);
    return Done{};
  }
  const bool corrected = fate.by != nullptr;
  const Result<FactFields> fields =
      FactFields::parse(corrected ? fate.by->correction.body : fact.body, fact.id);
  if (!fields) return fields.problem();
  if (comes_with_withdrawn(origin_of(*fields))) {
    ++state_.withdrawn;
    return Done{};
  }
  if (!corrected && comes_again(origin_of(*fields))) {
    ++state_.doubled;
    return Done{};
  }
  if (corrected) ++state_.corrected;
  return take_body(fact, *fields);
}

// The earliest cut counts, whoever made it and in whatever order the facts come.
Result<Done> StateBuilder::take_retirement(const Fact& fact) {
  const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
  if (!fields) return fields.problem();
  Result<Retirement> retirement = retirement_from(*fields);
  if (!retirement) return retirement.problem();
  const auto [held, fresh] = retired_.emplace(retirement->device, *retirement);
  if (!fresh && retirement->last < held->second.last) held->second = std::move(*retirement);
  return Done{};
}

const Retirement* StateBuilder::retirement_over(const Fact& fact) const {
  if (retired_.empty()) return nullptr;
  const auto held = retired_.find(fact.device);
  return held != retired_.end() && fact.sequence > held->second.last ? &held->second : nullptr;
}

/// An entry that was corrected or withdrawn was still made: sent again, to whichever service, it does not
/// count anew.
bool StateBuilder::comes_again(const Fact& fact) {
  const std::string_view entry = entry_in(fact.body);
  return !entry.empty() && !state_.entries.emplace(entry, fact.id).second;
}

Result<Done> StateBuilder::take_cord_check(const Fact& fact, const FactFields& fields) {
  Result<CordCheck> check = cord_check_from(fields);
  if (!check) return check.problem();
  state_.cord_checks.push_back({fact.id, fact.time_ms, std::move(*check)});
  return Done{};
}

Result<Done> StateBuilder::take_calibration(const FactFields& fields) {
  Result<Calibration> calibration = calibration_from(fields);
  if (!calibration) return calibration.problem();
  const Result<Done> named = set_file_name(calibration->at, fields);
  if (!named) return named.problem();
  state_.records.calibrations.push_back(std::move(*calibration));
  return Done{};
}

Result<Done> StateBuilder::take_light_path(const FactFields& fields) {
  Result<LightPath> path = light_path_from(fields);
  if (!path) return path.problem();
  const Result<Done> named = set_file_name(path->at, fields);
  if (!named) return named.problem();
  state_.records.light_paths.push_back(std::move(*path));
  return Done{};
}

Result<Done> StateBuilder::take_splice_attempt(const FactFields& fields) {
  Result<SpliceAttempt> attempt = splice_attempt_from(fields);
  if (!attempt) return attempt.problem();
  state_.records.splice_attempts.push_back(std::move(*attempt));
  return Done{};
}

Result<Done> StateBuilder::take_trace(const Fact& fact, const FactFields& fields) {
  Result<HeldTrace> trace = trace_from(fields);
  if (!trace) return trace.problem();
  const Result<Done> named = set_file_name(trace->at, fields);
  if (!named) return named.problem();
  const RowOrigin origin = origin_of(fields);
  const auto file = origin ? trace_imports_.find(*origin) : trace_imports_.end();
  if (file != trace_imports_.end()) trace->kept = text_of(file->second);
  state_.traces.push_back(std::move(*trace));
  state_.trace_facts.push_back(fact.id);
  return Done{};
}

Result<Done> StateBuilder::take_body(const Fact& fact, const FactFields& fields) {
  switch (fact.kind) {
    case FactKind::job:
      return take_job(fields);
    case FactKind::import:
      return take_import(fact, fields);
    case FactKind::strand:
      return take_strand(fact, fields);
    case FactKind::reference:
      return take_reference(fact, fields);
    case FactKind::reading:
      return take_reading(fact, fields);
    case FactKind::rule_choice:
      return take_rule_choice(fact, fields);
    case FactKind::unread_row:
      return take_unread(fact, fields);
    case FactKind::note:
    case FactKind::acknowledgement:
    case FactKind::sign_off:
      return take_remark(fact, fields);
    case FactKind::cord_check:
      return take_cord_check(fact, fields);
    case FactKind::calibration:
      return take_calibration(fields);
    case FactKind::light_path:
      return take_light_path(fields);
    case FactKind::trace:
      return take_trace(fact, fields);
    case FactKind::splice_attempt:
      return take_splice_attempt(fields);
    case FactKind::correction:
    case FactKind::device_key:
    case FactKind::device_retired:
    case FactKind::time_stamp:
      return Done{};
  }
  return Done{};
}

bool StateBuilder::comes_with_withdrawn(const RowOrigin& origin) const {
  return origin && !withdrawn_imports_.empty() && withdrawn_imports_.contains(*origin);
}

// Two crews brought the same file into their own books before these were merged.
bool StateBuilder::comes_again(const RowOrigin& origin) const {
  return origin && !repeated_imports_.empty() && repeated_imports_.contains(*origin);
}

Result<std::string_view> StateBuilder::import_name(const FactFields& fields) const {
  const RowOrigin origin = origin_of(fields);
  if (!origin) return fields.text("file");
  const auto known = import_names_.find(*origin);
  if (known != import_names_.end()) return std::string_view{known->second};
  fields.mark("import");
  return fields.check().problem();
}

Result<Done> StateBuilder::set_file_name(Place& at, const FactFields& fields) const {
  const Result<std::string_view> name = import_name(fields);
  if (!name) return name.problem();
  at.file = *name;
  return Done{};
}

Result<Done> StateBuilder::take_job(const FactFields& fields) {
  const Result<JobRecord> job = job_from(fields);
  if (!job) return job.problem();
  if (!job->name.empty()) state_.name = job->name;
  for (const auto& [key, value] : job->settings) state_.settings.insert_or_assign(key, value);
  return Done{};
}

Result<Done> StateBuilder::take_import(const Fact& fact, const FactFields& fields) {
  Result<ImportRecord> import = import_from(fields);
  if (!import) return import.problem();
  import_names_.emplace(fact.id, import->file);
  if (import->purpose == ImportPurpose::traces) trace_imports_.emplace(fact.id, import->hash);
  if (!imports_seen_.emplace(import->hash, import->purpose, import->understood).second) {
    repeated_imports_.insert(fact.id);
    return Done{};
  }
  state_.imports.push_back({fact.id, fact.time_ms, std::move(*import)});
  return Done{};
}

void StateBuilder::repeat_strand(std::size_t at, ScheduledStrand strand, const Fact& fact,
                                 const RowOrigin& origin) {
  ScheduledStrand& counted = state_.schedule[at];
  const std::string found = "strand " + name_of(strand) + " again";
  if (origin && origin == strand_origins_[at]) {
    state_.repeated.push_back(
        {strand.at, found, "each strand once",
         "First listed at " + describe(counted.at) + ", which counts. Remove the row that is wrong."});
    return;
  }
  if (values_of(counted) != values_of(strand))
    state_.repeated.push_back(
        {strand.at, found + ", with other values", "each strand once",
         "The values here count; those at " + describe(counted.at) + " stay in the history."});
  counted = std::move(strand);
  state_.schedule_facts[at] = fact.id;
  strand_origins_[at] = origin;
}

Result<Done> StateBuilder::take_strand(const Fact& fact, const FactFields& fields) {
  Result<ScheduledStrand> strand = strand_from(fields);
  if (!strand) return strand.problem();
  const Result<Done> named = set_file_name(strand->at, fields);
  if (!named) return named.problem();
  const RowOrigin origin = origin_of(fields);
  const auto [known, fresh] = strand_rows_.emplace(key_of(*strand), state_.schedule.size());
  if (!fresh) {
    repeat_strand(known->second, std::move(*strand), fact, origin);
    return Done{};
  }
  state_.schedule.push_back(std::move(*strand));
  state_.schedule_facts.push_back(fact.id);
  strand_origins_.push_back(origin);
  return Done{};
}

Result<Done> StateBuilder::take_reference(const Fact& fact, const FactFields& fields) {
  Result<Reference> reference = reference_from(fields);
  if (!reference) return reference.problem();
  const Result<Done> named = set_file_name(reference->at, fields);
  if (!named) return named.problem();
  state_.references.push_back(std::move(*reference));
  state_.reference_facts.push_back(fact.id);
  return Done{};
}

Result<std::uint32_t> StateBuilder::file_index(const FactFields& fields) {
  const RowOrigin origin = origin_of(fields);
  const bool as_before = last_source_ && last_source_->first == origin &&
                         last_source_->second.sheet == fields.text("sheet") &&
                         last_source_->second.file == fields.text("file");
  if (as_before) return last_file_;
  const Result<std::string_view> name = import_name(fields);
  if (!name) return name.problem();
  SourceFile source = source_from(fields);
  const auto [known, fresh] = file_indices_.try_emplace(
      {origin, {source.file, source.sheet}}, static_cast<std::uint32_t>(state_.readings.files.size()));
  if (fresh) state_.readings.files.push_back({std::string(*name), source.sheet});
  last_source_.emplace(origin, std::move(source));
  return last_file_ = known->second;
}

Result<Done> StateBuilder::take_reading(const Fact& fact, const FactFields& fields) {
  Result<Reading> reading = reading_from(fields, keeper_);
  if (!reading) return reading.problem();
  const Result<std::uint32_t> file = file_index(fields);
  if (!file) return file.problem();
  reading->file = *file;
  state_.readings.rows.push_back(*reading);
  state_.reading_facts.push_back(fact.id);
  return Done{};
}

Result<Done> StateBuilder::take_unread(const Fact& fact, const FactFields& fields) {
  Result<UnreadRow> row = unread_from(fields);
  if (!row) return row.problem();
  const Result<Done> named = set_file_name(row->why.at, fields);
  if (!named) return named.problem();
  state_.unread.push_back(std::move(row->why));
  state_.unread_facts.push_back(fact.id);
  return Done{};
}

Result<Done> StateBuilder::take_rule_choice(const Fact& fact, const FactFields& fields) {
  Result<RuleChoice> choice = rule_choice_from(fields);
  if (!choice) return choice.problem();
  state_.rule_choices.push_back({fact.id, fact.time_ms, std::move(*choice)});
  return Done{};
}

Result<Done> StateBuilder::take_remark(const Fact& fact, const FactFields& fields) {
  Result<Remark> remark = remark_from(fact.kind, fields);
  if (!remark) return remark.problem();
  state_.remarks.push_back({fact.id, fact.time_ms, std::move(*remark)});
  return Done{};
}

}  // namespace strandbook
