#include "workflow/read_traces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "edge/traces/trace_file.hpp"

namespace strandbook {
namespace {

/// Names and direction as the file's name holds them.
std::optional<Problem> take_names(HeldTrace& trace, const std::string& name, const std::string& pattern) {
  if (pattern.empty()) return std::nullopt;
  auto parts = name_parts(pattern, std::filesystem::path(name).stem().string());
  if (!parts)
    return Problem{{name, {}, 0, {}},
                   "a name that does not fit",
                   "a name like " + pattern,
                   "Rename a copy of the file, or bring it in with another pattern."};
  trace.link = (*parts)["link"];
  trace.strand = (*parts)["strand"];
  const std::string& direction = (*parts)["direction"];
  if (direction.empty()) return std::nullopt;
  const std::optional<Direction> named = parse_direction(direction);
  if (!named)
    return Problem{
        {name, {}, 0, {}}, "direction \"" + direction + "\"", "AB or BA", "Rename a copy of the file."};
  if (!trace.direction) trace.direction = named;
  return std::nullopt;
}

void tell_doubts(const ExaminedTrace& examined, BroughtTraces& out) {
  for (const std::string& note : examined.trace.notes) out.notes.push_back({examined.file, {}, note});
  if (!out.traces.empty() && !out.traces.back().direction)
    out.notes.push_back({examined.file, {}, "It names no direction: it counts as taken from A."});
}

}  // namespace

std::string understood_as(const TraceChoices& choices) {
  const auto metres = [](const std::optional<Metres>& length) {
    return length ? fmt::format("{}", length->value) : std::string();
  };
  return fmt::format("pattern={};launch={};receive={};direction={}", choices.pattern,
                     metres(choices.given.launch), metres(choices.given.receive),
                     choices.given.direction ? text_of(*choices.given.direction) : "");
}

std::vector<std::string> trace_files(const std::vector<std::string>& paths, std::vector<Problem>& unread) {
  namespace fs = std::filesystem;
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

std::optional<std::map<std::string, std::string>> name_parts(std::string_view pattern,
                                                             std::string_view name) {
  std::map<std::string, std::string> found;
  while (!pattern.empty()) {
    const std::size_t open = pattern.find('{');
    const std::string_view fixed = pattern.substr(0, open);
    if (name.substr(0, fixed.size()) != fixed) return std::nullopt;
    name.remove_prefix(fixed.size());
    if (open == std::string_view::npos) break;
    const std::size_t close = pattern.find('}', open);
    if (close == std::string_view::npos) return std::nullopt;
    const std::string key(pattern.substr(open + 1, close - open - 1));
    pattern.remove_prefix(close + 1);
    const std::string_view next = pattern.substr(0, pattern.find('{'));
    const std::size_t stop = next.empty() ? name.size() : name.find(next);
    if (stop == std::string_view::npos) return std::nullopt;
    found[key] = std::string(name.substr(0, stop));
    name.remove_prefix(stop);
  }
  return name.empty() ? std::optional(found) : std::nullopt;
}

Result<std::vector<ExaminedTrace>> examine_trace_bytes(std::string_view bytes, const std::string& name,
                                                       const TraceGiven& given) {
  Result<TraceFile> file = read_trace_file(bytes, name);
  if (!file) return file.problem();
  std::vector<ExaminedTrace> examined;
  for (Trace& trace : file->traces) {
    if (given.launch) trace.settings.launch = given.launch;
    if (given.receive) trace.settings.receive = given.receive;
    if (given.direction) trace.identity.direction = given.direction;
    ExaminedTrace each{name, std::move(trace), {}, {}, file->warnings, {}};
    each.analysis = analyse(each.trace);
    each.link = link_of(each.trace, each.analysis);
    examined.push_back(std::move(each));
  }
  return examined;
}

Result<Trace> trace_in(std::string_view bytes, const std::string& name, int number) {
  Result<TraceFile> file = read_trace_file(bytes, name);
  if (!file) return file.problem();
  if (number < 0 || static_cast<std::size_t>(number) >= file->traces.size())
    return Problem{{name, {}, 0, {}},
                   fmt::format("{} traces", file->traces.size()),
                   fmt::format("trace {}", number + 1),
                   "Bring the file in again."};
  return std::move(file->traces[static_cast<std::size_t>(number)]);
}

BroughtTraces understand_traces(std::string_view bytes, const std::string& name,
                                const TraceChoices& choices) {
  BroughtTraces out;
  const Result<std::vector<ExaminedTrace>> examined = examine_trace_bytes(bytes, name, choices.given);
  if (!examined) {
    out.unread.push_back(examined.problem());
    if (out.unread.back().at.file.empty()) out.unread.back().at.file = name;
    return out;
  }
  if (!examined->empty())
    for (const Problem& warning : examined->front().warnings)
      out.notes.push_back({name, {}, describe(warning)});
  for (const ExaminedTrace& each : *examined) {
    HeldTrace trace = held_trace(each.trace, each.analysis, each.link, static_cast<int>(out.traces.size()));
    trace.at.file = name;
    trace.kept = name;
    if (const auto misfit = take_names(trace, name, choices.pattern)) {
      out.unread.push_back(*misfit);
      return out;
    }
    out.traces.push_back(std::move(trace));
    tell_doubts(each, out);
  }
  return out;
}

std::string words_of(const HeldTrace& trace) {
  std::string words = fmt::format("trace {}/{}, {:g} nm {}: {:.1f} m, {} events", trace.link, trace.strand,
                                  trace.wavelength.value, text_of(trace.from()), trace.seen.length.value,
                                  trace.seen.events.size());
  if (trace.seen.loss) words += fmt::format(", {:.3f} dB", trace.seen.loss->value);
  return words;
}

}  // namespace strandbook
