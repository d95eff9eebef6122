#include <fmt/format.h>

#include <algorithm>

#include "front/cli/commands.hpp"
#include "front/cli/job_source.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/examine_traces.hpp"
#include "workflow/know_profiles.hpp"

namespace strandbook {
namespace {

struct TraceOptions {
  std::vector<std::string> paths;
  std::string launch;
  std::string receive;
  std::string direction;
  std::string profile;
  std::string pattern;
  std::vector<std::string> places;
  int attempts = 1;
  JobOptions job;
  bool json = false;
};

Result<TraceGiven> given_by(const TraceOptions& options) {
  TraceGiven given;
  const std::pair<const std::string*, std::optional<Metres>*> lengths[] = {
      {&options.launch, &given.launch}, {&options.receive, &given.receive}};
  for (const auto& [text, into] : lengths) {
    if (text->empty()) continue;
    const auto metres =
        number_option(into == &given.launch ? "--launch" : "--receive", *text, "metres, such as 150");
    if (!metres) return metres.problem();
    *into = Metres{*metres};
  }
  if (options.direction.empty()) return given;
  given.direction = parse_direction(options.direction);
  if (!given.direction)
    return Problem{{"--direction", {}, 0, {}}, '"' + options.direction + '"', "AB or BA", {}};
  return given;
}

Result<std::vector<Metres>> places_in(const TraceOptions& options) {
  std::vector<Metres> places;
  for (const std::string& text : options.places) {
    const auto metres = number_option("--at", text, "metres from the first connection, such as 62");
    if (!metres) return metres.problem();
    places.push_back({*metres});
  }
  return places;
}

std::string with_uncertainty(const std::optional<Measured>& value) {
  return value ? fmt::format("{:7.3f} ± {:.3f}", value->value, 2 * value->standard_uncertainty)
               : "      –        ";
}

std::string remark_of(const TraceEvent& event) {
  if (event.kind == EventKind::ghost) return event.echo;
  std::string remark;
  if (event.reflectance)
    remark = fmt::format("reflectance {}{:.1f} dB", event.saturated ? "≥ " : "", event.reflectance->value);
  for (const Metres part : event.parts)
    remark += fmt::format("{}{:.1f} m", &part == &event.parts.front() ? "sum of " : ", ", part.value);
  return remark;
}

void print_trace(const ExaminedTrace& examined) {
  const TraceSettings& s = examined.trace.settings;
  const TraceAnalysis& analysis = examined.analysis;
  fmt::print("{}\n", heading(examined.file));
  fmt::print("  {:g} nm, pulse {:g} ns, group index {:.4f}", s.wavelength.value, s.pulse_ns, s.index.value);
  if (s.backscatter) fmt::print(", backscatter {:.1f} dB", s.backscatter->value);
  if (analysis.dynamic_range) fmt::print(", dynamic range {:.1f} dB", analysis.dynamic_range->value);
  fmt::print("\n  {:>10}   {:<14} {:>17}\n", "m", "event", "loss dB (k = 2)");
  for (const TraceEvent& event : analysis.events)
    fmt::print("  {:10.2f}   {:<14} {}   {}\n", event.position.value, text_of(event.kind),
               with_uncertainty(event.loss), remark_of(event));
  double least = 0;
  for (const TraceSection& section : analysis.sections) least = std::max(least, section.detectable.value);
  fmt::print("  Between events a step below {:.3f} dB could not have been seen.\n", least);
  if (analysis.end == EndState::beyond_noise)
    fmt::print("  No end: the light sinks into the noise at {:.1f} m.\n", analysis.length.value);
  if (analysis.end == EndState::beyond_range)
    fmt::print("  No end: the trace stops at {:.1f} m while there is still fibre.\n", analysis.length.value);
  fmt::print("  Link {:.2f} m (group index {:.4f})", examined.link.length.value, s.index.value);
  if (examined.link.loss)
    fmt::print(", sum of events and fibre {:.3f} ± {:.3f} dB", examined.link.loss->value,
               2 * examined.link.loss->standard_uncertainty);
  if (analysis.return_loss)
    fmt::print(", return loss {}{:.1f} dB", analysis.return_loss_is_bound ? "≤ " : "",
               analysis.return_loss->value);
  fmt::print("\n");
  for (const PlaceInTrace& place : examined.places)
    fmt::print("  At {:g} m: {}\n", place.asked.value, wrapped(describe(place), 4));
  for (const std::string& note : examined.link.notes) fmt::print("  {}\n", wrapped(note, 2));
  for (const std::string& note : examined.trace.notes) fmt::print("  {}\n", wrapped(note, 2));
  for (const std::string& note : analysis.notes) fmt::print("  {}\n", wrapped(note, 2));
  for (const Problem& warning : examined.warnings) fmt::print("  {}\n", wrapped(describe(warning), 2));
}

void print_unread(const std::vector<Problem>& problems, const char* title) {
  if (problems.empty()) return;
  fmt::print("\n{}\n", heading(title));
  for (const Problem& problem : problems) fmt::print("  {}\n", wrapped(describe(problem), 4));
}

void print_caution() {
  fmt::print(
      "\n{}\n",
      wrapped("Caution: an OTDR sends invisible light and is damaged by live fibre. Treat every port as "
              "live until measured dark; never look into a fibre. Local codes prevail.",
              0));
}

int run_show(const TraceOptions& options) {
  const Result<TraceGiven> given = given_by(options);
  if (!given) return refuse(given.problem());
  const Result<std::vector<Metres>> places = places_in(options);
  if (!places) return refuse(places.problem());
  ExaminedTraces examined = examine_traces(options.paths, *given);
  for (ExaminedTrace& each : examined.traces)
    for (const Metres place : *places)
      each.places.push_back(look_at_place(each.trace, each.analysis, each.link, place));
  if (examined.traces.empty() && !examined.unread.empty() && !options.json)
    return refuse(examined.unread.front());
  if (options.json) {
    fmt::print("{}\n", trace_json(examined));
  } else {
    for (const ExaminedTrace& each : examined.traces) print_trace(each);
    print_unread(examined.unread, "Files not read");
    print_caution();
  }
  if (examined.traces.empty()) return 2;
  return examined.unread.empty() ? 0 : 1;
}

std::string pair_remark(const ExaminedPair& pair, std::size_t at) {
  const TwoWayEvent& event = pair.events[at];
  if (at >= pair.splices.size()) return event.explanation;
  const JudgedSplice& splice = pair.splices[at];
  std::string remark(text_of(splice.verdict));
  if (splice.limit)
    remark += fmt::format(" (limit {:.2f} dB, {})", splice.limit->limit.value.value,
                          describe(splice.limit->limit.source));
  for (const std::string& more : {splice.reason, event.explanation})
    if (!more.empty()) remark += ". " + more;
  return remark;
}

bool splices_hold(const ExaminedPair& pair) {
  return std::none_of(pair.splices.begin(), pair.splices.end(),
                      [](const JudgedSplice& splice) { return splice.verdict == SpliceVerdict::beyond; });
}

void print_pair(const ExaminedPair& pair) {
  print_trace(pair.from_a);
  print_trace(pair.from_b);
  fmt::print("\n{}\n", heading("Both directions"));
  fmt::print("  {:>10}   {:<12} {:>9} {:>9}   {:>17}\n", "m from A", "event", "from A", "from B",
             "mean dB (k = 2)");
  for (std::size_t i = 0; i < pair.events.size(); ++i) {
    const TwoWayEvent& event = pair.events[i];
    const auto side = [](const std::optional<Measured>& loss) {
      return loss ? fmt::format("{:9.3f}", loss->value) : "        –";
    };
    fmt::print("  {:10.2f}   {:<12} {} {}   {}\n", event.position.value, text_of(event.kind),
               side(event.from_a), side(event.from_b), with_uncertainty(event.mean));
    if (const std::string remark = pair_remark(pair, i); !remark.empty())
      fmt::print("        {}\n", wrapped(remark, 8));
  }
  if (pair.mean_loss)
    fmt::print(
        "  Link: mean of both sums {:.3f} ± {:.3f} dB over {:.1f} m. The power meter's loss decides, not "
        "this one.\n",
        pair.mean_loss->value, 2 * pair.mean_loss->standard_uncertainty, pair.length.value);
  print_caution();
}

int run_pair(const TraceOptions& options) {
  const Result<TraceGiven> given = given_by(options);
  if (!given) return refuse(given.problem());
  std::vector<SpliceDemand> demands;
  if (!options.profile.empty()) {
    const Result<ProfileFile> profile = profile_named(options.profile);
    if (!profile) return refuse(profile.problem());
    demands = profile->profile.splices;
  }
  const Result<ExaminedPair> pair =
      examine_pair(options.paths[0], options.paths[1], *given, demands, options.attempts);
  if (!pair) return refuse(pair.problem());
  if (options.json)
    fmt::print("{}\n", trace_pair_json(*pair));
  else
    print_pair(*pair);
  return splices_hold(*pair) ? 0 : 1;
}

bool all_agree(const JoinedTraces& joined) {
  return joined.unmatched.empty() && joined.examined.unread.empty() &&
         std::all_of(joined.strands.begin(), joined.strands.end(), [](const JoinedStrand& strand) {
           return strand.agreement.agreement == Agreement::agree ||
                  strand.agreement.agreement == Agreement::unseen_connection;
         });
}

int run_join(const TraceOptions& options) {
  const Result<TraceGiven> given = given_by(options);
  if (!given) return refuse(given.problem());
  Result<JudgedWork> work = judged_work(options.job);
  if (!work) return refuse(work.problem());
  const JoinedTraces joined =
      join_traces(examine_traces(options.paths, *given), work->job.assessment, options.pattern);
  if (options.json) {
    fmt::print("{}\n", trace_join_json(joined));
    return all_agree(joined) ? 0 : 1;
  }
  for (const JoinedStrand& strand : joined.strands) {
    fmt::print("{}  {:g} nm  {}\n", heading(strand.link + "/" + strand.strand), strand.wavelength.value,
               text_of(strand.agreement.agreement));
    for (const std::size_t at : strand.traces) fmt::print("    {}\n", joined.examined.traces[at].file);
    for (const std::string& words : {strand.agreement.words, strand.agreement.advice, strand.length_note})
      if (!words.empty()) fmt::print("    {}\n", wrapped(words, 4));
  }
  print_unread(joined.unmatched, "Traces of no strand");
  print_unread(joined.examined.unread, "Files not read");
  print_caution();
  return all_agree(joined) ? 0 : 1;
}

void add_common(CLI::App& command, const std::shared_ptr<TraceOptions>& options) {
  command.add_option("--launch", options->launch,
                     "Length of the launch cord, m, where the record does not say");
  command.add_option("--receive", options->receive, "Length of the receive cord, m");
  command.add_flag("--json", options->json, "Print JSON (docs/traces.schema.json)");
}

}  // namespace

void add_trace_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<TraceOptions>();
  CLI::App* trace =
      app.add_subcommand("trace", "OTDR traces: events, both directions, beside the meter's loss");
  trace->require_subcommand(1);
  CLI::App* show = trace->add_subcommand("show", "What each trace holds, with uncertainties");
  show->add_option("files", options->paths, "Trace files, or folders of them")->required();
  show->add_option("--direction", options->direction, "AB or BA, where the record does not say");
  show->add_option("--at", options->places,
                   "Metres from the first connection, such as 8,62: what the trace says of these places")
      ->delimiter(',');
  add_common(*show, options);
  show->callback([options, &status] { status.value = run_show(*options); });
  CLI::App* pair = trace->add_subcommand("pair", "Both directions of a strand: the mean loss of every event");
  pair->add_option("files", options->paths, "The trace from A and the trace from B")->required()->expected(2);
  pair->add_option("--profile", options->profile,
                   "Owner's profile, whose splice limits are held against the means");
  pair->add_option("--attempts", options->attempts, "Attempts made at the splices")->check(CLI::Range(1, 20));
  add_common(*pair, options);
  pair->callback([options, &status] { status.value = run_pair(*options); });
  CLI::App* join =
      trace->add_subcommand("join", "Traces of a job's strands beside the losses of the power meter");
  join->add_option("files", options->paths, "Trace files, or folders of them")->required();
  join->add_option("--pattern", options->pattern,
                   "How file names hold the strand: {link}_{strand}_{direction}");
  join->add_option("--book", options->job.book, "A book instead of files");
  add_file_options(*join, options->job);
  add_rule_options(*join, options->job);
  add_import_options(*join, options->job);
  add_common(*join, options);
  join->callback([options, &status] { status.value = run_join(*options); });
}

}  // namespace strandbook
