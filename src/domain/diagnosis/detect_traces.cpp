// Traces against the meter, the schedule and the owner's way of taking them.

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/traced_links.hpp"
#include "domain/link/same_window.hpp"
#include "domain/plan/strand_index.hpp"
#include "domain/verdict/strand_tests.hpp"

namespace strandbook {
namespace {

/// The one farthest off.
const JudgedTraces& farthest(const TracedStrands& link) {
  return **std::max_element(link.of.begin(), link.of.end(), [](const auto* a, const auto* b) {
    return std::abs(a->agreement.difference->value) < std::abs(b->agreement.difference->value);
  });
}

void tell_agreement(const Assessment& all, const ByLink& links, const char* kind, Suspects& out) {
  for (const auto& [name, link] : links) {
    const JudgedTraces& worst = farthest(link);
    Finding finding = about_link(all, kind, name, link);
    finding.summary = fmt::format("{} nm, {}: {}", worst.wavelength.value,
                                  name_of(all.schedule[worst.strand]), worst.agreement.words);
    if (link.strands.size() > 1)
      finding.summary += fmt::format(" The same is seen of {}.", strands_named(all, link.strands));
    finding.evidence.emplace_back("meter_db", all.tests[worst.test].loss.value);
    finding.evidence.emplace_back("trace_db", worst.agreement.trace_mean->value);
    finding.evidence.emplace_back("difference_db", worst.agreement.difference->value);
    finding.advice = worst.agreement.advice;
    finding.caution = trace_caution;
    out.facts.push_back(std::move(finding));
  }
}

void tell_lengths(const Assessment& all, const ByLink& links, Suspects& out) {
  for (const auto& [name, link] : links) {
    const JudgedTraces& first = *link.of.front();
    Finding finding = about_link(all, "trace-length", name, link);
    finding.summary =
        fmt::format("{} of {}: the length by trace is not that of the schedule. {}",
                    counted_words(link.strands.size(), "strand", "strands"), name, first.length_note);
    finding.evidence.emplace_back("traced_m", first.seen.length.value);
    finding.evidence.emplace_back("scheduled_m", all.schedule[first.strand].length->value);
    finding.advice =
        "Check the group index of the trace against the maker's, then the schedule against the drawing, then "
        "whether this is the strand that was meant.";
    out.facts.push_back(std::move(finding));
  }
}

void tell_breaks(const Assessment& all, const ByLink& links, Suspects& out) {
  for (const auto& [name, link] : links) {
    const JudgedTraces& first = *link.of.front();
    Finding finding = about_link(all, "trace-break", name, link);
    finding.summary = fmt::format("{} of {} broken off. The first: {}. {}",
                                  counted_words(link.strands.size(), "strand", "strands"), name,
                                  name_of(all.schedule[first.strand]), first.broken->words);
    const auto add = [&finding](const char* key, const std::optional<Metres>& end) {
      if (end) finding.evidence.emplace_back(key, end->value);
    };
    add("from_a_m", first.broken->from_a);
    add("from_b_m", first.broken->from_b);
    finding.advice =
        "Find the place on the route drawing; a cable is a per cent or two shorter than its fibre. Look into "
        "the closures on both sides of it first, mend, then measure and trace again.";
    finding.caution = splice_caution;
    out.facts.push_back(std::move(finding));
  }
}

void tell_ends(const Assessment& all, const ByLink& links, Suspects& out) {
  for (const auto& [name, link] : links) {
    Finding finding = about_link(all, "trace-ends", name, link);
    finding.weight = Weight::note;
    finding.summary = fmt::format(
        "{} of {}: the traces do not measure both end connections, for want of a cord longer than the dead "
        "zone; a flat trace there proves nothing.",
        counted_words(link.strands.size(), "strand", "strands"), name);
    finding.advice = "Take them again with a launch cord and a receive cord, and record both lengths.";
    finding.caution = trace_caution;
    out.facts.push_back(std::move(finding));
  }
}

bool is_bend(const TwoWayEvent& event) { return event.kind == EventKind::bend; }

void tell_bends(const Assessment& all, const ByLink& links, Suspects& out) {
  for (const auto& [name, link] : links) {
    const JudgedTraces& first = *link.of.front();
    const auto bend = std::find_if(first.seen.events.begin(), first.seen.events.end(), is_bend);
    const Measured loss = bend->shown().value_or(Measured{});
    Finding finding = about_link(all, "trace-bend", name, link);
    finding.summary = fmt::format(
        "{} of {}: a step that loses far more at the longer wavelength, as a bend does. The first: {}, "
        "{:.1f} m "
        "from A, {:.3f} dB at {} nm.",
        counted_words(link.strands.size(), "strand", "strands"), name, name_of(all.schedule[first.strand]),
        bend->position.value, loss.value, first.wavelength.value);
    finding.evidence.emplace_back("at_m", bend->position.value);
    finding.evidence.emplace_back("loss_db", loss.value);
    finding.advice = "Dress the fibre at that place so that no bend is tight, then take the trace again.";
    finding.caution = trace_caution;
    out.facts.push_back(std::move(finding));
  }
}

/// What of the owner's way of taking traces these do not keep; empty where all is kept.
std::string liberties(const HeldTrace& trace, const OtdrDemand& demand) {
  std::string words;
  const auto add = [&words](const std::string& more) { words += (words.empty() ? "" : ", ") + more; };
  if (demand.launch_cord_least && trace.launch && *trace.launch < demand.launch_cord_least->value)
    add(fmt::format("launch cord {:g} m, {:g} m wanted", trace.launch->value,
                    demand.launch_cord_least->value.value));
  if (demand.launch_cord_least && !trace.launch) add("no launch cord stated");
  if (demand.pulse_most && trace.pulse_ns > demand.pulse_most->value)
    add(fmt::format("pulse {:g} ns, at most {:g} ns wanted", trace.pulse_ns, demand.pulse_most->value));
  if (demand.averages_least && trace.averages > 0 && trace.averages < demand.averages_least->value)
    add(fmt::format("{:g} averages, {:g} wanted", trace.averages, demand.averages_least->value));
  if (demand.smallest_event && trace.detectable > demand.smallest_event->value)
    add(fmt::format("steps below {:.3f} dB could not be seen, {:g} dB wanted", trace.detectable.value,
                    demand.smallest_event->value.value));
  if (demand.range_most && trace.range && *trace.range > demand.range_most->value)
    add(fmt::format("range {:.0f} m, at most {:g} m wanted", trace.range->value,
                    demand.range_most->value.value));
  for (const IndexDemand& index : demand.indices)
    if (same_window(index.wavelength, trace.wavelength) &&
        std::abs(index.index.value - trace.index.value) > 1e-5)
      add(fmt::format("group index {:g}, {:g} wanted", trace.index.value, index.index.value));
  return words;
}

void tell_settings(const Assessment& all, const std::vector<JudgedTraces>& judged, const OtdrDemand& demand,
                   Suspects& out) {
  ByLink links;
  std::map<std::string, std::string> first;
  for (const JudgedTraces& each : judged)
    for (const std::uint32_t at : {each.from_a, each.from_b}) {
      if (at == nothing) continue;
      const std::string words = liberties(all.traces[at], demand);
      if (words.empty()) continue;
      put(links, all, each);
      first.emplace(link_name(all.schedule[each.strand]), words);
    }
  for (const auto& [name, link] : links) {
    Finding finding = about_link(all, "trace-settings", name, link);
    finding.weight = Weight::note;
    finding.summary =
        fmt::format("{} of {}: traces are not taken as the owner wants ({}).",
                    counted_words(link.strands.size(), "strand", "strands"), name, first.at(name));
    finding.advice = "Set the instrument as the owner wants and take them again.";
    finding.caution = trace_caution;
    out.facts.push_back(std::move(finding));
  }
}

/// A wavelength of single-mode practice is not asked of multimode fibre, nor the reverse.
bool asked_of(const ScheduledStrand& strand, Nanometres wavelength) {
  return !strand.fibre || mode_of(*strand.fibre) == mode_tested_at(wavelength);
}

bool has_all(const std::vector<const JudgedTraces*>& traces, const ScheduledStrand& strand,
             const OtdrDemand& demand) {
  const bool both = demand.directions && demand.directions->value == DirectionDemand::both;
  const auto whole = [both](const JudgedTraces& each) {
    return !both || (each.from_a != nothing && each.from_b != nothing);
  };
  if (!demand.wavelengths)
    return std::any_of(traces.begin(), traces.end(), [&](const auto* each) { return whole(*each); });
  for (const Nanometres wavelength : demand.wavelengths->value) {
    if (!asked_of(strand, wavelength)) continue;
    const bool there = std::any_of(traces.begin(), traces.end(), [&](const auto* each) {
      return same_window(each->wavelength, wavelength) && whole(*each);
    });
    if (!there) return false;
  }
  return true;
}

std::string words_of(const OtdrDemand& demand) {
  std::string words;
  if (demand.wavelengths) {
    for (const Nanometres wavelength : demand.wavelengths->value)
      words += fmt::format("{}{:g}", words.empty() ? "" : ", ", wavelength.value);
    words += " nm, ";
  }
  return words + (demand.directions && demand.directions->value == DirectionDemand::both ? "from both ends"
                                                                                         : "from either end");
}

void tell_missing(const Assessment& all, const std::vector<JudgedTraces>& judged, const OtdrDemand& demand,
                  Suspects& out) {
  if (!demand.wavelengths && !demand.directions) return;
  std::vector<std::uint32_t> lacking;
  std::size_t at = 0;
  for (std::uint32_t strand = 0; strand < all.schedule.size(); ++strand) {
    std::vector<const JudgedTraces*> own;
    for (; at < judged.size() && judged[at].strand == strand; ++at) own.push_back(&judged[at]);
    if (!has_all(own, all.schedule[strand], demand)) lacking.push_back(strand);
  }
  if (lacking.empty()) return;
  const RuleRef& source = demand.wavelengths ? demand.wavelengths->source : demand.directions->source;
  Finding finding;
  finding.kind = "trace-missing";
  finding.weight = Weight::note;
  finding.summary = fmt::format(
      "The owner wants traces ({}; {}). {} without some of them: {}.", words_of(demand), describe(source),
      counted_words(lacking.size(), "strand", "strands"), strands_named(all, lacking));
  finding.evidence = {{"strands", static_cast<double>(lacking.size())},
                      {"first", name_of(all.schedule[lacking.front()])}};
  finding.advice = "Take them while the crew is here, or bring their files in.";
  finding.caution = trace_caution;
  finding.tests = all_tests_of(all, lacking);
  out.facts.push_back(std::move(finding));
}

}  // namespace

void detect_traces(const Assessment& all, const TraceDemands& demands, Suspects& out) {
  if (all.traces.empty() && !demands.otdr) return;
  const std::vector<JudgedTraces> judged = judge_traces(all, demands);
  ByLink contradicting;
  ByLink suspect;
  ByLink lengths;
  ByLink ends;
  ByLink bends;
  ByLink breaks;
  for (const JudgedTraces& each : judged) {
    if (each.agreement.agreement == Agreement::contradict) put(contradicting, all, each);
    if (each.agreement.agreement == Agreement::suspect_connection) put(suspect, all, each);
    if (!each.length_note.empty()) put(lengths, all, each);
    if (each.broken) put(breaks, all, each);
    if (!each.broken && !(each.near_end_measured && each.far_end_measured)) put(ends, all, each);
    if (std::any_of(each.seen.events.begin(), each.seen.events.end(), is_bend)) put(bends, all, each);
  }
  tell_agreement(all, contradicting, "trace-contradicts", out);
  tell_agreement(all, suspect, "trace-connection", out);
  tell_breaks(all, breaks, out);
  tell_lengths(all, lengths, out);
  detect_splices(all, judged, out);
  tell_bends(all, bends, out);
  tell_ends(all, ends, out);
  if (!demands.otdr) return;
  tell_settings(all, judged, *demands.otdr, out);
  tell_missing(all, judged, *demands.otdr, out);
}

}  // namespace strandbook
