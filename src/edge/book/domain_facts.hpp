#pragma once
// Domain values to the bodies of facts and back. Nothing is rounded; what is absent stays absent.

#include <optional>

#include "domain/plan/schedule.hpp"
#include "domain/problem/problem.hpp"
#include "domain/readings/cord_check.hpp"
#include "domain/readings/reading.hpp"
#include "domain/readings/site_records.hpp"
#include "domain/traces/held_trace.hpp"
#include "edge/book/fact.hpp"
#include "edge/book/fact_fields.hpp"
#include "edge/book/record.hpp"
#include "edge/book/text_keeper.hpp"

namespace strandbook {

/// The import that a row came with; empty for a row that a person typed. With an import the file's name and
/// hash are those of the import's fact; without, the row keeps the name its place gives.
using RowOrigin = std::optional<Uuid>;

FactDraft to_fact(const ScheduledStrand& strand, const RowOrigin& origin);
/// `entry`: the name that a screen gave what a person typed; empty where there is none.
FactDraft to_fact(const Reference& reference, const RowOrigin& origin, std::string_view entry = {});
FactDraft to_fact(const Reading& reading, const SourceFile& source, const RowOrigin& origin,
                  std::string_view entry = {});
FactDraft to_fact(const Calibration& calibration, const RowOrigin& origin);
FactDraft to_fact(const LightPath& path, const RowOrigin& origin);
FactDraft to_fact(const HeldTrace& trace, const RowOrigin& origin);
/// `entry`: the name that a screen gave it; empty where there is none.
FactDraft to_fact(const SpliceAttempt& attempt, std::string_view entry);
FactDraft to_unread_fact(const Problem& problem, const RowOrigin& origin);
FactDraft to_fact(const JobRecord& job);
FactDraft to_fact(const ImportRecord& import);
FactDraft to_fact(const RuleChoice& choice);
FactDraft to_fact(const Remark& remark);
FactDraft to_fact(const CordCheck& check, std::string_view entry);
FactDraft to_fact(const KeyRecord& key);
FactDraft to_fact(const StampRecord& stamp);
FactDraft to_fact(const Retirement& retirement);
/// `subject`: the strand that the replacing body names, if any.
FactDraft to_fact(const Correction& correction, const Subject& subject);

// Places come back without the file's name where the row has an origin: the import knows it.
Result<ScheduledStrand> strand_from(const FactFields& fields);
Result<Reference> reference_from(const FactFields& fields);
/// Texts are views into `fields`; `file` is left 0.
Result<Reading> reading_in(const FactFields& fields);
/// The same with texts that go to the keeper.
Result<Reading> reading_from(const FactFields& fields, TextKeeper& keeper);
Result<Calibration> calibration_from(const FactFields& fields);
Result<LightPath> light_path_from(const FactFields& fields);
Result<HeldTrace> trace_from(const FactFields& fields);
Result<SpliceAttempt> splice_attempt_from(const FactFields& fields);
Result<UnreadRow> unread_from(const FactFields& fields);
Result<JobRecord> job_from(const FactFields& fields);
Result<ImportRecord> import_from(const FactFields& fields);
Result<RuleChoice> rule_choice_from(const FactFields& fields);
Result<Remark> remark_from(FactKind kind, const FactFields& fields);
Result<CordCheck> cord_check_from(const FactFields& fields);
Result<KeyRecord> key_from(const FactFields& fields);
Result<StampRecord> stamp_from(const FactFields& fields);
Result<Retirement> retirement_from(const FactFields& fields);
Result<Correction> correction_from(const FactFields& fields);

RowOrigin origin_of(const FactFields& fields);
/// File and sheet of a row; the file's name only where the row has no origin.
SourceFile source_from(const FactFields& fields);
/// The strand that a body of this kind names.
Subject subject_of(FactKind kind, const FactFields& fields);
/// Kept files that a body of this kind names.
std::vector<Sha256> files_named_in(FactKind kind, const FactFields& fields);
/// Whether a body of this kind can be read at all.
Result<Done> check_body(FactKind kind, const FactFields& fields);

}  // namespace strandbook
