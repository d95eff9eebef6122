#pragma once
// Detectors of the job's records as a whole, fed with what the blocks gathered.

#include <string>
#include <vector>

#include "domain/diagnosis/job_index.hpp"
#include "domain/readings/reference_finder.hpp"

namespace strandbook {

/// Tests by the reason why they do not count, ascending.
using ByReason = std::array<std::vector<std::uint32_t>, reasons>;

/// References disproved or drifted, settings, instruments, methods, dark strands.
void detect_reasons(const Assessment& all, const ByReason& by_reason, const ReferencePractice& practice,
                    Suspects& out);
/// Signs, levels among losses, headroom in place of loss.
void detect_file_habits(const Assessment& all, const ByReason& by_reason,
                        const std::vector<FileLosses>& files, Suspects& out);
void detect_names(const Assessment& all, Suspects& out);
void detect_repeats(const std::vector<std::uint32_t>& repeated, Suspects& out);
/// A panel, cable, position, person or instrument that the failing strands share.
void detect_shared_cause(const JobIndex& index, const std::vector<BlockFacts>& facts, Suspects& out);
/// Instruments used on a day that no certificate covers, and those without any.
void detect_calibration(const Assessment& all, const DiagnosisPractice& practice,
                        const std::vector<InstrumentUse>& uses, Suspects& out);
/// Light that came out of another strand, or nowhere.
void detect_continuity(const Assessment& all, Suspects& out);
/// Traces against meter, schedule and the owner's demands.
void detect_traces(const Assessment& all, const TraceDemands& demands, Suspects& out);
/// Columns of two tables that are the same to the last digit.
void detect_copies(const Assessment& all, const std::vector<ColumnPrint>& doubled, Suspects& out);

}  // namespace strandbook
