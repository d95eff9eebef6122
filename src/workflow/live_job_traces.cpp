// The traces of a LiveJob.

#include <fmt/format.h>

#include <algorithm>

#include "workflow/live_job_inside.hpp"

namespace strandbook {

Result<LiveJob::Inside::TraceToRead> LiveJob::Inside::trace_to_read(const Uuid& fact) const {
  const std::shared_lock lock(held);
  const std::optional<std::uint32_t> at = row_of(state.trace_facts, fact);
  if (!at || !judgement)
    return Problem{
        {}, "trace " + text_of(fact), "a trace of this job that counts", "See the list of traces."};
  const HeldTrace& trace = judgement->all().traces[*at];
  TraceToRead wanted;
  wanted.kept = trace.kept;
  wanted.looked = {nullptr, trace.at.file, parse_sha256(trace.kept).value_or(Sha256{}), trace.from(),
                   trace.seen.length};
  wanted.given = {trace.launch, trace.receive, trace.direction};
  wanted.number = trace.number;
  for (const JudgedTraces& judged : judge_traces(judgement->all(), {}))
    if (std::find(judged.traces.begin(), judged.traces.end(), *at) != judged.traces.end())
      wanted.looked.length = judged.seen.length;
  return wanted;
}

Result<ExaminedTrace> LiveJob::Inside::read_trace(const TraceToRead& wanted) const {
  const std::lock_guard lock(reading);
  Result<std::string> bytes = kept_file(*reader.store, wanted.kept);
  if (!bytes) {
    Problem lost = bytes.problem();
    lost.at.file = wanted.looked.file;
    return lost;
  }
  Result<std::vector<ExaminedTrace>> traces = examine_trace_bytes(*bytes, wanted.looked.file, wanted.given);
  if (!traces) return traces.problem();
  if (static_cast<std::size_t>(wanted.number) >= traces->size())
    return Problem{{wanted.looked.file, {}, 0, {}},
                   fmt::format("{} traces", traces->size()),
                   fmt::format("trace {}", wanted.number + 1),
                   "Bring the file in again."};
  return std::move((*traces)[static_cast<std::size_t>(wanted.number)]);
}

void LiveJob::look_at_traces(
    const std::function<void(const JobView&, const std::vector<JudgedTraces>&)>& look) const {
  const std::shared_lock lock(inside_->held);
  std::vector<JudgedTraces> judged;
  if (inside_->judgement) judged = judge_traces(inside_->judgement->all(), inside_->trace_demands);
  look(inside_->view(), judged);
}

Result<LookedAtTrace> LiveJob::trace(const std::string& fact) const {
  const Result<Uuid> id = fact_named(fact);
  if (!id) return id.problem();
  Result<Inside::TraceToRead> wanted = inside_->trace_to_read(*id);
  if (!wanted) return wanted.problem();
  const std::lock_guard lock(inside_->tracing);
  std::vector<std::pair<Uuid, std::shared_ptr<const ExaminedTrace>>>& known = inside_->examined;
  const auto at =
      std::find_if(known.begin(), known.end(), [&](const auto& each) { return each.first == *id; });
  if (at == known.end()) {
    Result<ExaminedTrace> read = inside_->read_trace(*wanted);
    if (!read) return read.problem();
    constexpr std::size_t most_kept = 24;
    if (known.size() >= most_kept) known.erase(known.begin());
    known.emplace_back(*id, std::make_shared<const ExaminedTrace>(std::move(*read)));
    wanted->looked.examined = known.back().second;
  } else {
    wanted->looked.examined = at->second;
  }
  return std::move(wanted->looked);
}

}  // namespace strandbook
