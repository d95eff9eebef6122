#include "workflow/examine_traces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "domain/diagnosis/judged_traces.hpp"
#include "domain/link/same_window.hpp"
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

JoinedStrand joined_strand(const Assessment& all, const JudgedTraces& judged) {
  const ScheduledStrand& strand = all.schedule[judged.strand];
  JoinedStrand joined{link_name(strand), strand.strand, judged.wavelength, {}, {}, {}, {}, {}};
  joined.traces.assign(judged.traces.begin(), judged.traces.end());
  joined.agreement = judged.agreement;
  joined.length_note = judged.length_note;
  if (judged.test == nothing) return joined;
  const JudgedTest& test = all.tests[judged.test];
  joined.meter_loss = test.loss;
  if (test.limit != nothing) joined.limit = all.limits[test.limit].value;
  return joined;
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
            : JudgedSplice{SpliceVerdict::open, 1, {}, event.one_side_only(), "not a splice"});
  return pair;
}

JoinedTraces join_traces(ExaminedTraces traces, Assessment& all, const std::string& pattern) {
  JoinedTraces joined;
  joined.examined = std::move(traces);
  all.traces.clear();
  all.trace_strands.clear();
  const StrandIndex index(all.schedule);
  for (ExaminedTrace& each : joined.examined.traces) {
    all.trace_strands.push_back(strand_of(each, index, pattern));
    all.traces.push_back(held_trace(each.trace, each.analysis, each.link, 0));
    all.traces.back().at = {each.file, {}, 0, {}};
  }
  for (const JudgedTraces& judged : judge_traces(all, {}))
    joined.strands.push_back(joined_strand(all, judged));
  joined.unmatched = unplaced_traces(all);
  return joined;
}

}  // namespace strandbook
