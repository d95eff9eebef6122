// Splices that traces show, against the owner's limits.

#include <fmt/format.h>

#include <algorithm>

#include "domain/diagnosis/sentence.hpp"
#include "domain/diagnosis/traced_links.hpp"
#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

double loss_of(const TwoWayEvent& event) {
  if (!event.mean && event.mean_least) return event.mean_least->value;
  return event.shown().value_or(Measured{}).value;
}

/// Those of a link's splices that came to the same, and the worst of them.
struct Alike {
  std::size_t count = 0;
  const JudgedTraces* where = nullptr;
  const TwoWayEvent* worst = nullptr;
  const JudgedSplice* splice = nullptr;
};

using Wanted = bool (*)(const JudgedSplice& splice);

Alike alike(const TracedStrands& link, Wanted wanted) {
  Alike found;
  for (const JudgedTraces* judged : link.of)
    for (std::size_t i = 0; i < judged->splices.size(); ++i) {
      if (!wanted(judged->splices[i])) continue;
      ++found.count;
      const TwoWayEvent& event = judged->seen.events[i];
      if (found.worst != nullptr && loss_of(*found.worst) >= loss_of(event)) continue;
      found.worst = &event;
      found.splice = &judged->splices[i];
      found.where = judged;
    }
  return found;
}

ByLink links_with(const Assessment& all, const std::vector<JudgedTraces>& judged, Wanted wanted) {
  ByLink links;
  for (const JudgedTraces& each : judged)
    if (std::any_of(each.splices.begin(), each.splices.end(), wanted)) put(links, all, each);
  return links;
}

/// Where the worst one is, and what it loses.
std::string worst_of(const Assessment& all, const Alike& found) {
  return fmt::format("{}, {:.1f} m from A, {:.3f} dB at {} nm.", name_of(all.schedule[found.where->strand]),
                     found.worst->position.value, loss_of(*found.worst), found.where->wavelength.value);
}

Finding about_splices(const Assessment& all, const char* kind, const std::string& name,
                      const TracedStrands& link, const Alike& found) {
  Finding finding = about_link(all, kind, name, link);
  finding.evidence.emplace_back("splices", static_cast<double>(found.count));
  finding.evidence.emplace_back("worst_db", loss_of(*found.worst));
  finding.evidence.emplace_back("at_m", found.worst->position.value);
  if (found.splice->limit) finding.evidence.emplace_back("limit_db", found.splice->limit->limit.value.value);
  return finding;
}

bool is_beyond(const JudgedSplice& splice) { return splice.verdict == SpliceVerdict::beyond; }
bool is_relaxed(const JudgedSplice& splice) { return splice.verdict == SpliceVerdict::relaxed; }
bool is_to_trace_again(const JudgedSplice& splice) { return splice.made_again; }

void tell_beyond(const Assessment& all, const std::vector<JudgedTraces>& judged, Suspects& out) {
  for (const auto& [name, link] : links_with(all, judged, is_beyond)) {
    const Alike found = alike(link, is_beyond);
    Finding finding = about_splices(all, "splice-beyond", name, link, found);
    finding.summary =
        fmt::format("{} of {}: {} beyond what the owner allows of a splice ({:.2f} dB, {}). The worst: {}",
                    counted_words(link.strands.size(), "strand", "strands"), name,
                    counted_words(found.count, "splice", "splices"), found.splice->limit->limit.value.value,
                    describe(found.splice->limit->limit.source), worst_of(all, found));
    finding.advice =
        "Open the closure at that place, look for a bend first, then splice again, record the attempt, and "
        "trace from both ends.";
    finding.caution = splice_caution;
    out.facts.push_back(std::move(finding));
  }
}

void tell_relaxed(const Assessment& all, const std::vector<JudgedTraces>& judged, Suspects& out) {
  for (const auto& [name, link] : links_with(all, judged, is_relaxed)) {
    const Alike found = alike(link, is_relaxed);
    const RelaxedSplice& relaxed = *found.splice->limit->relaxed;
    Finding finding = about_splices(all, "splice-relaxed", name, link, found);
    finding.weight = Weight::note;
    finding.summary = fmt::format(
        "{} of {}: {} let stand by the owner's relaxed limit ({:.2f} dB from attempt {} on, {}). The worst: "
        "{}",
        counted_words(link.strands.size(), "strand", "strands"), name,
        counted_words(found.count, "splice", "splices"), relaxed.limit.value.value, relaxed.attempts,
        describe(relaxed.limit.source), worst_of(all, found));
    finding.advice = fmt::format("The owner's price for it: {}.", relaxed.consequence);
    out.facts.push_back(std::move(finding));
  }
}

void tell_to_trace(const Assessment& all, const std::vector<JudgedTraces>& judged, Suspects& out) {
  for (const auto& [name, link] : links_with(all, judged, is_to_trace_again)) {
    const Alike found = alike(link, is_to_trace_again);
    Finding finding = about_splices(all, "splice-untraced", name, link, found);
    finding.weight = Weight::note;
    finding.summary = fmt::format(
        "{} of {}: {} made again after the traces were taken, which no longer show them. The first to trace: "
        "{}, {:.1f} m from A.",
        counted_words(link.strands.size(), "strand", "strands"), name,
        counted_words(found.count, "splice", "splices"), name_of(all.schedule[found.where->strand]),
        found.worst->position.value);
    finding.advice = "Trace these strands from both ends before the closure is shut for good.";
    finding.caution = trace_caution;
    out.facts.push_back(std::move(finding));
  }
}

void tell_spans(const Assessment& all, const std::vector<JudgedTraces>& judged, Suspects& out) {
  ByLink links;
  for (const JudgedTraces& each : judged)
    if (each.span && each.span->verdict == SpliceVerdict::beyond) put(links, all, each);
  for (const auto& [name, link] : links) {
    const JudgedTraces& worst =
        **std::max_element(link.of.begin(), link.of.end(),
                           [](const auto* a, const auto* b) { return *a->span->mean < *b->span->mean; });
    Finding finding = about_link(all, "splice-span", name, link);
    finding.summary = fmt::format(
        "{} of {}: the mean loss of its splices is beyond what the owner allows of a span ({:.2f} dB, {}). "
        "The worst: {}, {:.3f} dB over {} at {} nm.",
        counted_words(link.strands.size(), "strand", "strands"), name, worst.span->limit.value.value,
        describe(worst.span->limit.source), name_of(all.schedule[worst.strand]), worst.span->mean->value,
        counted_words(worst.span->splices, "splice", "splices"), worst.wavelength.value);
    finding.evidence.emplace_back("mean_db", worst.span->mean->value);
    finding.evidence.emplace_back("limit_db", worst.span->limit.value.value);
    finding.advice =
        "Make the worst splices of the span again, record the attempts, and trace from both ends.";
    finding.caution = splice_caution;
    out.facts.push_back(std::move(finding));
  }
}

}  // namespace

void detect_splices(const Assessment& all, const std::vector<JudgedTraces>& judged, Suspects& out) {
  tell_beyond(all, judged, out);
  tell_relaxed(all, judged, out);
  tell_to_trace(all, judged, out);
  tell_spans(all, judged, out);
}

}  // namespace strandbook
