#include "domain/traces/trace_and_meter.hpp"

#include <fmt/format.h>

#include <cmath>

namespace strandbook {

std::string_view text_of(Agreement agreement) {
  switch (agreement) {
    case Agreement::agree:
      return "agree";
    case Agreement::unseen_connection:
      return "unseen connection";
    case Agreement::suspect_connection:
      return "suspect connection";
    case Agreement::contradict:
      return "contradict";
    case Agreement::no_trace:
      return "no trace";
  }
  return {};
}

MeterAgreement compare_with_meter(const MeterQuestion& question) {
  MeterAgreement out;
  if (!question.trace_a && !question.trace_b) {
    out.words = "No trace gives a sum for this link.";
    return out;
  }
  out.one_way = !question.trace_a || !question.trace_b;
  const Decibels sum = question.trace_a.value_or(Decibels{0}) + question.trace_b.value_or(Decibels{0});
  out.trace_mean = out.one_way ? sum : sum / 2;
  out.difference = question.meter_loss - *out.trace_mean;
  const double difference = out.difference->value;
  const char* of = out.one_way ? "one direction" : "mean of both directions";
  if (at_most({std::abs(difference)}, question.tolerance)) {
    out.agreement = Agreement::agree;
    out.words = fmt::format("Meter {:.2f} dB, trace {:.2f} dB ({}): they agree.", question.meter_loss.value,
                            out.trace_mean->value, of);
    return out;
  }
  const double least =
      question.unseen_connections * question.connection_least.value - question.tolerance.value;
  const double most = question.unseen_connections * question.connection_most.value + question.tolerance.value;
  const bool explained = question.unseen_connections > 0 && difference >= least && difference <= most;
  if (!explained) {
    out.agreement = Agreement::contradict;
    out.words = fmt::format(
        "Meter {:.2f} dB, trace {:.2f} dB ({}): they differ by {:+.2f} dB, which nothing explains.",
        question.meter_loss.value, out.trace_mean->value, of, difference);
    out.advice =
        out.one_way
            ? "Take the trace from the other end too, then look at the reference and the strand's name."
            : "See that both are of the same strand, then take the reference anew.";
    return out;
  }
  const bool fails = question.limit && !at_most(question.meter_loss, *question.limit);
  out.agreement = fails ? Agreement::suspect_connection : Agreement::unseen_connection;
  out.words = fmt::format(
      "Meter {:.2f} dB, trace {:.2f} dB ({}): the {:.2f} dB between them are what an end connection loses "
      "that a "
      "trace "
      "without a receive cord cannot see.",
      question.meter_loss.value, out.trace_mean->value, of, difference);
  if (fails) {
    out.words += " The meter's loss is beyond its limit, so that connection is the likely culprit.";
    out.advice =
        "Inspect and clean the far connection, then measure again. The light is invisible: look only with a "
        "filtered scope, and treat the port as live until measured dark.";
  }
  return out;
}

std::string compare_lengths(Metres traced, Metres scheduled, double group_index, double tolerance_share) {
  const double off = traced.value - scheduled.value;
  if (std::abs(off) <= 2 + tolerance_share * scheduled.value) return {};
  return fmt::format(
      "The trace shows {:.1f} m (group index {:.4f}), the schedule {:.1f} m. Fibre is longer than its cable "
      "by up to a "
      "few per cent; the rest is another index, another route or another strand.",
      traced.value, group_index, scheduled.value);
}

}  // namespace strandbook
