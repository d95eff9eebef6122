#include "workflow/examine_traces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>

#include "domain/diagnosis/judged_traces.hpp"
#include "domain/plan/strand_index.hpp"
#include "edge/exchange/file_bytes.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

SpliceQuestion question_of(const ExaminedTrace& examined, const std::vector<SpliceDemand>& demands,
                           int attempts) {
  SpliceQuestion question;
  question.wavelength = demanded_wavelength(demands, examined.trace.settings.wavelength);
  question.mode =
      examined.trace.settings.wavelength.value < 1000 ? FibreMode::multimode : FibreMode::single_mode;
  question.attempts = attempts;
  return question;
}

std::uint32_t strand_of(ExaminedTrace& examined, const StrandIndex& index, const std::string& pattern) {
  if (pattern.empty()) return index.find(examined.trace.identity.cable, examined.trace.identity.fibre);
  auto fitting = name_parts(pattern, fs::path(examined.file).stem().string());
  if (!fitting) return no_strand;
  auto& parts = *fitting;
  if (const auto direction = parse_direction(parts["direction"]);
      direction && !examined.trace.identity.direction)
    examined.trace.identity.direction = direction;
  return index.find(parts["link"], parts["strand"]);
}

/// Worst loss of the strand in this window, with its limit.
void take_meter(const JudgedJob& job, std::uint32_t strand, JoinedStrand& joined) {
  for (const JudgedTest& test : job.assessment.tests) {
    if (test.strand != strand || !test.has_loss || !test.judged()) continue;
    if (!same_window(test.wavelength, joined.wavelength)) continue;
    if (joined.meter_loss && test.loss <= *joined.meter_loss) continue;
    joined.meter_loss = test.loss;
    if (test.limit != nothing) joined.limit = job.assessment.limits[test.limit].value;
  }
}

void compare(const ExaminedTraces& examined, const ScheduledStrand& scheduled, JoinedStrand& joined) {
  MeterQuestion question;
  for (const std::size_t at : joined.traces) {
    const ExaminedTrace& each = examined.traces[at];
    const bool from_b = each.trace.identity.direction == Direction::b_to_a;
    question.unseen_connections =
        std::max(question.unseen_connections,
                 (each.link.near_end_measured ? 0 : 1) + (each.link.far_end_measured ? 0 : 1));
    if (each.link.loss) (from_b ? question.trace_b : question.trace_a) = Decibels{each.link.loss->value};
    if (scheduled.length)
      joined.length_note =
          compare_lengths(each.link.length, *scheduled.length, each.trace.settings.index.value);
  }
  if (!joined.meter_loss) {
    joined.agreement.words =
        "The meter has no loss for this strand at this wavelength: the trace alone certifies nothing.";
    return;
  }
  question.meter_loss = *joined.meter_loss;
  question.limit = joined.limit;
  joined.agreement = compare_with_meter(question);
}

JoinedStrand& joined_for(JoinedTraces& joined, const ScheduledStrand& strand, Nanometres wavelength) {
  for (JoinedStrand& each : joined.strands)
    if (each.link == link_name(strand) && each.strand == strand.strand &&
        same_window(each.wavelength, wavelength))
      return each;
  joined.strands.push_back({link_name(strand), strand.strand, wavelength, {}, {}, {}, {}, {}});
  return joined.strands.back();
}

}  // namespace

Result<std::vector<ExaminedTrace>> examine_trace_file(const std::string& path, const TraceGiven& given) {
  const Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  return examine_trace_bytes(*bytes, path, given);
}

ExaminedTraces examine_traces(const std::vector<std::string>& paths, const TraceGiven& given) {
  ExaminedTraces out;
  for (const std::string& path : trace_files(paths, out.unread)) {
    Result<std::vector<ExaminedTrace>> examined = examine_trace_file(path, given);
    if (!examined) {
      out.unread.push_back(examined.problem());
      continue;
    }
    for (ExaminedTrace& each : *examined) out.traces.push_back(std::move(each));
  }
  return out;
}

Result<ExaminedPair> examine_pair(const std::string& from_a, const std::string& from_b,
                                  const TraceGiven& given, const std::vector<SpliceDemand>& demands,
                                  int attempts) {
  Result<std::vector<ExaminedTrace>> a = examine_trace_file(from_a, given);
  if (!a) return a.problem();
  Result<std::vector<ExaminedTrace>> b = examine_trace_file(from_b, given);
  if (!b) return b.problem();
  ExaminedPair pair{std::move(a->front()), std::move(b->front()), {}, {}, {}, {}};
  // A record that names its own direction is believed.
  if (pair.from_a.trace.identity.direction == Direction::b_to_a &&
      pair.from_b.trace.identity.direction == Direction::a_to_b)
    std::swap(pair.from_a, pair.from_b);
  if (!same_window(pair.from_a.trace.settings.wavelength, pair.from_b.trace.settings.wavelength))
    return Problem{
        {from_b, {}, 0, {}},
        fmt::format("a trace at {:g} nm beside one at {:g} nm", pair.from_b.trace.settings.wavelength.value,
                    pair.from_a.trace.settings.wavelength.value),
        "both directions at one wavelength",
        "Name the trace of the same wavelength from the other end."};
  BothWays seen = both_ways(held_trace(pair.from_a.trace, pair.from_a.analysis, pair.from_a.link, 0),
                            held_trace(pair.from_b.trace, pair.from_b.analysis, pair.from_b.link, 0));
  pair.length = seen.length;
  pair.events = std::move(seen.events);
  pair.mean_loss = seen.loss;
  if (demands.empty()) return pair;
  for (const TwoWayEvent& event : pair.events)
    pair.splices.push_back(
        event.kind == EventKind::loss || event.kind == EventKind::gain
            ? judge_splice(event, demands, question_of(pair.from_a, demands, attempts))
            : JudgedSplice{SpliceVerdict::open, {}, event.one_side_only(), "not a splice"});
  return pair;
}

JoinedTraces join_traces(ExaminedTraces traces, const JudgedJob& job, const std::string& pattern) {
  JoinedTraces joined;
  joined.examined = std::move(traces);
  const StrandIndex index(job.assessment.schedule);
  std::map<std::pair<std::string, std::string>, std::uint32_t> strands;
  for (std::size_t at = 0; at < joined.examined.traces.size(); ++at) {
    ExaminedTrace& each = joined.examined.traces[at];
    const std::uint32_t strand = strand_of(each, index, pattern);
    if (strand == no_strand) {
      joined.unmatched.push_back(
          {{each.file, {}, 0, {}},
           fmt::format("a trace of cable \"{}\", fibre \"{}\"", each.trace.identity.cable,
                       each.trace.identity.fibre),
           "a strand of the schedule",
           "Give --pattern if the file names hold the strand, such as {link}_{strand}."});
      continue;
    }
    const ScheduledStrand& scheduled = job.assessment.schedule[strand];
    joined_for(joined, scheduled, each.trace.settings.wavelength).traces.push_back(at);
    strands[{link_name(scheduled), scheduled.strand}] = strand;
  }
  for (JoinedStrand& each : joined.strands) {
    const std::uint32_t strand = strands.at({each.link, each.strand});
    take_meter(job, strand, each);
    compare(joined.examined, job.assessment.schedule[strand], each);
  }
  return joined;
}

}  // namespace strandbook
