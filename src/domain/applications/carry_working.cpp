#include "domain/applications/carry_working.hpp"

#include <algorithm>

namespace strandbook {
namespace {

const MeasuredLoss* reading_of(const MeasuredChannel& channel, const CarryOutcome& outcome) {
  return outcome.read < channel.losses.size() ? &channel.losses[outcome.read] : nullptr;
}

template <class Unit>
std::optional<double> value_of(const std::optional<Sourced<Unit>>& number) {
  return number ? std::optional(number->value.value) : std::nullopt;
}

template <class Unit>
RuleRef source_of(const std::optional<Sourced<Unit>>& number, const Application& row) {
  return number ? number->source : row.source;
}

CarryLine length_line(const Application& row, const MeasuredChannel& channel) {
  CarryLine line{"length", "m", {}, value_of(row.max_length), {}, false, source_of(row.max_length, row),
                 {},       {}};
  if (channel.length) line.found = channel.length->value;
  if (line.found && line.allowed) line.margin = *line.allowed - *line.found;
  return line;
}

CarryLine loss_line(const Application& row, const MeasuredLoss* read, const CarryOutcome& outcome) {
  const auto& most = max_loss_at(row, read == nullptr ? 0 : outcome.lane);
  CarryLine line{"loss", "dB", {}, value_of(most), {}, false, source_of(most, row), {}, {}};
  if (read == nullptr) return line;
  line.found = outcome.loss.value;
  if (line.allowed) line.margin = *line.allowed - *line.found;
  line.at = row.wavelengths[outcome.lane];
  line.read = read->wavelength;
  return line;
}

void add_least_loss(const Application& row, const MeasuredLoss& read, std::vector<CarryLine>& lines) {
  if (!row.min_loss) return;
  const double least = read.least_loss.value;
  const double wanted = row.min_loss->value.value;
  lines.push_back({"least loss", "dB", least, wanted, least - wanted, false, row.min_loss->source, {}, {}});
}

void add_arrivals(const Application& row, const MeasuredLoss& read, const CarryOutcome& outcome,
                  std::vector<CarryLine>& lines) {
  const PowerWindow& window = window_at(row, outcome.lane);
  if (window.launch_max && window.receive_max) {
    const double most = (window.launch_max->value - read.least_loss).value;
    const double allowed = window.receive_max->value.value;
    lines.push_back({"strongest arrival",
                     "dBm",
                     most,
                     allowed,
                     allowed - most,
                     false,
                     window.receive_max->source,
                     {},
                     {}});
  }
  if (window.launch_min && window.receive_min) {
    const double weakest = (window.launch_min->value - outcome.loss).value;
    const double wanted = window.receive_min->value.value;
    lines.push_back({"weakest arrival",
                     "dBm",
                     weakest,
                     wanted,
                     weakest - wanted,
                     true,
                     window.receive_min->source,
                     {},
                     {}});
  }
}

}  // namespace

std::vector<CarryLine> working_of(const Application& row, const MeasuredChannel& channel,
                                  const CarryOutcome& outcome) {
  const MeasuredLoss* read = reading_of(channel, outcome);
  std::vector<CarryLine> lines{length_line(row, channel), loss_line(row, read, outcome)};
  if (row.connection_allocation)
    lines.push_back({"connections and splices",
                     "dB",
                     {},
                     value_of(row.connection_allocation),
                     {},
                     true,
                     row.connection_allocation->source,
                     {},
                     {}});
  if (read == nullptr) return lines;
  add_least_loss(row, *read, lines);
  add_arrivals(row, *read, outcome, lines);
  return lines;
}

std::optional<Metres> room_of(const MeasuredChannel& channel, const CarryOutcome& outcome,
                              const Application& row) {
  const MeasuredLoss* read = reading_of(channel, outcome);
  if (read == nullptr || !read->attenuation || !row.max_loss || !row.max_length || !channel.length) return {};
  const Metres by_loss{outcome.loss_margin.value / read->attenuation->value * 1000};
  return std::min(by_loss, outcome.length_margin);
}

std::string_view text_of(RemedyKind kind) {
  switch (kind) {
    case RemedyKind::clean_connection:
      return "clean one connection";
    case RemedyKind::remove_connection:
      return "remove one connection";
    case RemedyKind::shorter:
      return "shorter cord";
  }
  return {};
}

std::vector<Remedy> remedies_of(const MeasuredChannel& channel, const CarryOutcome& outcome,
                                const ChannelParts& parts) {
  const bool too_long = outcome.reasons.has(CarryReason::length_beyond);
  const bool too_lossy =
      outcome.reasons.has(CarryReason::loss_beyond) || outcome.reasons.has(CarryReason::loss_doubtful);
  const MeasuredLoss* read = reading_of(channel, outcome);
  if ((!too_long && !too_lossy) || read == nullptr || !read->attenuation || !channel.length) return {};
  const Decibels missing = too_lossy ? -outcome.loss_margin : Decibels{};
  const Decibels joints =
      std::max(Decibels{}, outcome.loss - *read->attenuation * *channel.length - parts.splices);
  std::vector<Remedy> remedies;
  if (too_lossy && parts.connections.value_or(0) > 0) {
    const Decibels excess = std::max(Decibels{}, joints - *parts.connections * parts.clean_connection);
    const Decibels mean = joints / *parts.connections;
    remedies.push_back({RemedyKind::clean_connection, excess, {}, !too_long && at_most(missing, excess)});
    remedies.push_back({RemedyKind::remove_connection, mean, {}, !too_long && at_most(missing, mean)});
  }
  const Metres by_loss{missing.value / read->attenuation->value * 1000};
  const Metres shorter = std::max({by_loss, Metres{-outcome.length_margin.value}, Metres{}});
  remedies.push_back({RemedyKind::shorter, {}, shorter, shorter < *channel.length});
  return remedies;
}

}  // namespace strandbook
