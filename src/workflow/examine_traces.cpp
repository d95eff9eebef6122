#include "workflow/examine_traces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>

#include "domain/plan/strand_index.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "edge/traces/trace_file.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

// A wavelength of a trace and one of the meter are of one window within this, nm (common practice).
constexpr double same_window_nm = 25;

/// All files that the paths name, folders opened, in order of their names.
std::vector<std::string> files_of(const std::vector<std::string>& paths, std::vector<Problem>& unread) {
  std::vector<std::string> files;
  for (const std::string& path : paths) {
    std::error_code error;
    if (!fs::is_directory(path, error)) {
      files.push_back(path);
      continue;
    }
    std::vector<std::string> here;
    for (fs::recursive_directory_iterator each(path, error), end; !error && each != end;
         each.increment(error))
      if (each->is_regular_file(error)) here.push_back(each->path().string());
    if (error) unread.push_back({{path, {}, 0, {}}, error.message(), "a folder that can be read", {}});
    std::sort(here.begin(), here.end());
    files.insert(files.end(), here.begin(), here.end());
  }
  return files;
}

/// Smallest event that a link's trace would have shown wherever it stood.
Decibels unseen_in(const ExaminedTrace& examined) {
  double most = 0;
  for (const TraceSection& section : examined.analysis.sections)
    most = std::max(most, section.detectable.value);
  return {most};
}

SpliceQuestion question_of(const ExaminedTrace& examined, int attempts) {
  SpliceQuestion question;
  question.wavelength = {std::round(examined.trace.settings.wavelength.value / 10) * 10};
  question.mode =
      examined.trace.settings.wavelength.value < 1000 ? FibreMode::multimode : FibreMode::single_mode;
  question.attempts = attempts;
  return question;
}

/// "{link}_{strand}_{direction}" over a name: what stands between the fixed parts.
std::map<std::string, std::string> captured(std::string_view pattern, std::string_view name) {
  std::map<std::string, std::string> found;
  while (!pattern.empty()) {
    const std::size_t open = pattern.find('{');
    const std::string_view fixed = pattern.substr(0, open);
    if (name.substr(0, fixed.size()) != fixed) return {};
    name.remove_prefix(fixed.size());
    if (open == std::string_view::npos) return name.empty() ? found : std::map<std::string, std::string>();
    const std::size_t close = pattern.find('}', open);
    if (close == std::string_view::npos) return {};
    const std::string key(pattern.substr(open + 1, close - open - 1));
    pattern.remove_prefix(close + 1);
    const std::string_view next = pattern.substr(0, pattern.find('{'));
    const std::size_t stop = next.empty() ? name.size() : name.find(next);
    if (stop == std::string_view::npos) return {};
    found[key] = std::string(name.substr(0, stop));
    name.remove_prefix(stop);
  }
  return name.empty() ? found : std::map<std::string, std::string>();
}

std::uint32_t strand_of(ExaminedTrace& examined, const StrandIndex& index, const std::string& pattern) {
  if (pattern.empty()) return index.find(examined.trace.identity.cable, examined.trace.identity.fibre);
  auto parts = captured(pattern, fs::path(examined.file).stem().string());
  if (const auto direction = parse_direction(parts["direction"]);
      direction && !examined.trace.identity.direction)
    examined.trace.identity.direction = direction;
  return index.find(parts["link"], parts["strand"]);
}

/// Worst loss of the strand in this window, with its limit.
void take_meter(const JudgedJob& job, std::uint32_t strand, JoinedStrand& joined) {
  for (const JudgedTest& test : job.assessment.tests) {
    if (test.strand != strand || !test.has_loss || !test.judged()) continue;
    if (std::abs(test.wavelength.value - joined.wavelength.value) > same_window_nm) continue;
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
        std::abs(each.wavelength.value - wavelength.value) <= same_window_nm)
      return each;
  joined.strands.push_back({link_name(strand), strand.strand, wavelength, {}, {}, {}, {}, {}});
  return joined.strands.back();
}

}  // namespace

Result<std::vector<ExaminedTrace>> examine_trace_file(const std::string& path, const TraceGiven& given) {
  const Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  Result<TraceFile> file = read_trace_file(*bytes, path);
  if (!file) return file.problem();
  std::vector<ExaminedTrace> examined;
  for (Trace& trace : file->traces) {
    if (given.launch) trace.settings.launch = given.launch;
    if (given.receive) trace.settings.receive = given.receive;
    if (given.direction) trace.identity.direction = given.direction;
    ExaminedTrace each{path, std::move(trace), {}, {}, file->warnings};
    each.analysis = analyse(each.trace);
    each.link = link_of(each.trace, each.analysis);
    examined.push_back(std::move(each));
  }
  return examined;
}

ExaminedTraces examine_traces(const std::vector<std::string>& paths, const TraceGiven& given) {
  ExaminedTraces out;
  for (const std::string& path : files_of(paths, out.unread)) {
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
  const double apart =
      pair.from_a.trace.settings.wavelength.value - pair.from_b.trace.settings.wavelength.value;
  if (std::abs(apart) > same_window_nm)
    return Problem{
        {from_b, {}, 0, {}},
        fmt::format("a trace at {:g} nm beside one at {:g} nm", pair.from_b.trace.settings.wavelength.value,
                    pair.from_a.trace.settings.wavelength.value),
        "both directions at one wavelength",
        "Name the trace of the same wavelength from the other end."};
  pair.length = {(pair.from_a.link.length.value + pair.from_b.link.length.value) / 2};
  TwoWayQuestion question{pair.length, pairing_gate(pair.from_a.trace, pair.from_b.trace),
                          unseen_in(pair.from_a), unseen_in(pair.from_b)};
  question.gate.value += std::abs(pair.from_a.link.length.value - pair.from_b.link.length.value);
  pair.events = pair_directions(pair.from_a.link.events, pair.from_b.link.events, question);
  if (pair.from_a.link.loss && pair.from_b.link.loss)
    pair.mean_loss = Measured{
        (pair.from_a.link.loss->value + pair.from_b.link.loss->value) / 2,
        std::hypot(pair.from_a.link.loss->standard_uncertainty, pair.from_b.link.loss->standard_uncertainty) /
            2};
  if (demands.empty()) return pair;
  for (const TwoWayEvent& event : pair.events)
    pair.splices.push_back(
        event.kind == EventKind::loss || event.kind == EventKind::gain
            ? judge_splice(event, demands, question_of(pair.from_a, attempts))
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
