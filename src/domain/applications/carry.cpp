#include "domain/applications/carry.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace strandbook {
namespace {

constexpr std::size_t category_count = static_cast<std::size_t>(FibreCategory::single_mode_unstated) + 1;

FibreMode mode_of(const Application& row) {
  return row.categories.empty()
             ? (row.wavelengths.front().value < 1000 ? FibreMode::multimode : FibreMode::single_mode)
             : mode_of(row.categories.front());
}

bool same(double a, double b) { return std::abs(a - b) < 0.5; }
bool from_memory(const RuleRef& source) { return source.standing == Standing::from_memory; }

/// Does a longer wavelength than the application's stand among the readings?
bool read_longer_only(const MeasuredChannel& channel, double wavelength_nm) {
  return std::any_of(channel.losses.begin(), channel.losses.end(),
                     [&](const MeasuredLoss& each) { return each.wavelength.value > wavelength_nm; });
}

/// Rows of one application in one table, in order of their names.
std::vector<std::vector<std::uint32_t>> families_of(const std::vector<std::uint32_t>& rows,
                                                    const ApplicationTable& table) {
  std::map<std::pair<std::string_view, std::string_view>, std::vector<std::uint32_t>> by_name;
  for (const std::uint32_t row : rows) by_name[{table[row].name, table[row].table}].push_back(row);
  std::vector<std::vector<std::uint32_t>> families;
  families.reserve(by_name.size());
  for (auto& [name, family] : by_name) families.push_back(std::move(family));
  return families;
}

bool is_upstream(const Application& row, std::size_t lane) {
  return row.use == WavelengthUse::per_direction && lane > 0;
}

}  // namespace

std::string_view text_of(Carries carries) {
  switch (carries) {
    case Carries::supported:
      return "supported";
    case Carries::supported_with:
      return "supported only with";
    case Carries::not_supported:
      return "not supported";
    case Carries::cannot_say:
      return "cannot say";
  }
  return {};
}

std::string_view code_of(CarryReason reason) {
  switch (reason) {
    case CarryReason::length_beyond:
      return "length_beyond";
    case CarryReason::length_unknown:
      return "length_unknown";
    case CarryReason::loss_beyond:
      return "loss_beyond";
    case CarryReason::loss_doubtful:
      return "loss_doubtful";
    case CarryReason::loss_close:
      return "loss_close";
    case CarryReason::loss_unread:
      return "loss_unread";
    case CarryReason::short_side_unread:
      return "short_side_unread";
    case CarryReason::too_little_loss:
      return "too_little_loss";
    case CarryReason::receiver_in_danger:
      return "receiver_in_danger";
    case CarryReason::no_loss_number:
      return "no_loss_number";
    case CarryReason::no_length_number:
      return "no_length_number";
    case CarryReason::memory_against:
      return "memory_against";
    case CarryReason::memory_for:
      return "memory_for";
    case CarryReason::cable_class_unknown:
      return "cable_class_unknown";
    case CarryReason::cable_class_differs:
      return "cable_class_differs";
    case CarryReason::needs_more:
      return "needs_more";
  }
  return {};
}

std::string_view sentence_of(CarryReason reason) {
  switch (reason) {
    case CarryReason::length_beyond:
      return "The channel is longer than the table's reach.";
    case CarryReason::length_unknown:
      return "The schedule gives no length. Enter the length.";
    case CarryReason::loss_beyond:
      return "The channel loses more than the table allows.";
    case CarryReason::loss_doubtful:
      return "The loss is beyond the table's limit, but by less than its uncertainty. Read again with a "
             "fresh "
             "reference.";
    case CarryReason::loss_close:
      return "The loss is within the table's limit by less than its uncertainty.";
    case CarryReason::loss_unread:
      return "No valid reading may stand for the application's wavelength. Read there.";
    case CarryReason::short_side_unread:
      return "Only a longer wavelength was read, and the loss at the application's shorter one may be "
             "larger. "
             "Read at the shorter wavelength.";
    case CarryReason::too_little_loss:
      return "Too much light would arrive. An attenuator belongs at the receiver.";
    case CarryReason::receiver_in_danger:
      return "The strongest transmitter could damage the receiver on this channel. Do not plug in without "
             "the "
             "attenuator.";
    case CarryReason::no_loss_number:
      return "The table gives no loss limit.";
    case CarryReason::no_length_number:
      return "The table gives no reach.";
    case CarryReason::memory_against:
      return "Only a number from memory speaks against it. Check that number against the published table.";
    case CarryReason::memory_for:
      return "What decides is from memory. Check it against the published table.";
    case CarryReason::cable_class_unknown:
      return "This reach holds for cable of a certain attenuation class, and that of this cable is not "
             "known.";
    case CarryReason::cable_class_differs:
      return "This reach holds for cable of a smaller attenuation class.";
    case CarryReason::needs_more:
      return "The table demands something besides.";
  }
  return {};
}

const std::optional<Sourced<Decibels>>& max_loss_at(const Application& row, std::size_t lane) {
  return is_upstream(row, lane) && row.upstream_max_loss ? row.upstream_max_loss : row.max_loss;
}

const PowerWindow& window_at(const Application& row, std::size_t lane) {
  return is_upstream(row, lane) ? row.upstream : row.window;
}

/// What has been found for and against while a row is judged.
struct CarryTable::Tally {
  CarryOutcome outcome;
  bool against = false;         ///< by a number that was seen
  bool memory_against = false;  ///< by a number from memory
  bool unknown = false;
  bool condition = false;
  bool memory_for = false;

  void add(CarryReason reason) { outcome.reasons.add(reason); }
  void speak_against(CarryReason reason, const RuleRef& source) {
    add(reason);
    (from_memory(source) ? memory_against : against) = true;
  }
  void leave_open(CarryReason reason) {
    add(reason);
    unknown = true;
  }
  void demand(CarryReason reason) {
    add(reason);
    condition = true;
  }
  CarryOutcome settled() {
    if (memory_against && !against) add(CarryReason::memory_against);
    if (memory_for && !against && !memory_against && !unknown) demand(CarryReason::memory_for);
    outcome.carries = against                     ? Carries::not_supported
                      : memory_against || unknown ? Carries::cannot_say
                      : condition                 ? Carries::supported_with
                                                  : Carries::supported;
    return outcome;
  }
};

CarryTable::CarryTable(const ApplicationTable& table, const TestWindows& windows,
                       const AttenuationShape& shape)
    : table_(table), lanes_(table.size()), rows_by_category_(category_count) {
  for (std::uint32_t row = 0; row < table.size(); ++row) {
    const Application& application = table[row];
    for (const FibreCategory category : application.categories)
      rows_by_category_[static_cast<std::size_t>(category)].push_back(row);
    for (const Nanometres at : application.wavelengths) {
      Lane lane;
      lane.wavelength_nm = at.value;
      for (const TestWindow& window : windows_for(windows, mode_of(application), at)) {
        const bool rises = window.rise_below && at < *window.rise_below;
        const double ratio = shape.at(at) / shape.at(window.reading);
        lane.stand_ins.push_back({window.reading.value, rises ? ratio - 1 : 0});
      }
      lanes_[row].push_back(std::move(lane));
    }
  }
  for (const std::vector<std::uint32_t>& rows : rows_by_category_)
    families_by_category_.push_back(families_of(rows, table));
}

std::span<const std::uint32_t> CarryTable::rows_for(std::optional<FibreCategory> fibre) const {
  if (!fibre) return {};
  return rows_by_category_[static_cast<std::size_t>(*fibre)];
}

std::span<const std::vector<std::uint32_t>> CarryTable::families_for(
    std::optional<FibreCategory> fibre) const {
  if (!fibre) return {};
  return families_by_category_[static_cast<std::size_t>(*fibre)];
}

void CarryTable::judge_length(const Application& row, const MeasuredChannel& channel, Tally& tally) const {
  if (!row.max_length) return tally.leave_open(CarryReason::no_length_number);
  if (!channel.length) return tally.leave_open(CarryReason::length_unknown);
  tally.outcome.length_margin = row.max_length->value - *channel.length;
  if (row.max_length->value < *channel.length)
    tally.speak_against(CarryReason::length_beyond, row.max_length->source);
  else if (from_memory(row.max_length->source))
    tally.memory_for = true;
}

const MeasuredLoss* CarryTable::reading_for(const Lane& lane, const MeasuredChannel& channel, double& rise) {
  for (const StandIn& stand_in : lane.stand_ins)
    for (const MeasuredLoss& each : channel.losses)
      if (same(each.wavelength.value, stand_in.reading_nm)) {
        rise = stand_in.rise;
        return &each;
      }
  return nullptr;
}

void CarryTable::judge_lanes(std::uint32_t row, const MeasuredChannel& channel, Tally& tally) const {
  const Application& application = table_[row];
  if (!application.max_loss) tally.leave_open(CarryReason::no_loss_number);
  const double km = channel.length.value_or(Metres{}).value / 1000;
  for (std::size_t at = 0; at < lanes_[row].size(); ++at) {
    const Lane& lane = lanes_[row][at];
    double rise = 0;
    const MeasuredLoss* read = reading_for(lane, channel, rise);
    if (read == nullptr)
      return tally.leave_open(read_longer_only(channel, lane.wavelength_nm) ? CarryReason::short_side_unread
                                                                            : CarryReason::loss_unread);
    const Decibels more{rise * km * read->attenuation.value_or(DecibelsPerKilometre{}).value};
    const auto& most = max_loss_at(application, at);
    const Decibels loss = read->loss + more;
    const Decibels margin = most ? most->value - loss : -loss;
    if (tally.outcome.lane == no_lane || margin < tally.outcome.loss_margin) {
      tally.outcome.loss = loss;
      tally.outcome.loss_margin = margin;
      tally.outcome.lane = static_cast<std::uint8_t>(at);
      tally.outcome.read = static_cast<std::uint8_t>(read - channel.losses.data());
    }
    judge_most(most, *read, loss, channel.guard, tally);
    judge_least(application, window_at(application, at), read->least_loss + more, tally);
  }
}

void CarryTable::judge_most(const std::optional<Sourced<Decibels>>& most, const MeasuredLoss& read,
                            Decibels loss, GuardBand guard, Tally& tally) {
  if (!most) return;
  if (from_memory(most->source)) tally.memory_for = true;
  switch (decide(loss, most->value, read.standard_uncertainty, guard)) {
    case Outcome::fail:
      tally.speak_against(CarryReason::loss_beyond, most->source);
      break;
    case Outcome::conditional_fail:
      tally.leave_open(CarryReason::loss_doubtful);
      break;
    case Outcome::conditional_pass:
      tally.demand(CarryReason::loss_close);
      break;
    case Outcome::pass:
    case Outcome::not_tested:
    case Outcome::invalid:
      break;
  }
}

void CarryTable::judge_least(const Application& row, const PowerWindow& window, Decibels least,
                             Tally& tally) {
  Decibels missing;
  if (row.min_loss) missing = row.min_loss->value - least;
  if (window.launch_max && window.receive_max)
    missing = std::max(missing, window.launch_max->value - least - window.receive_max->value);
  if (!at_most(missing, {})) {
    tally.outcome.attenuator = std::max(tally.outcome.attenuator, missing);
    tally.demand(CarryReason::too_little_loss);
  }
  if (window.launch_max && window.damage && window.damage->value < window.launch_max->value - least)
    tally.demand(CarryReason::receiver_in_danger);
}

CarryOutcome CarryTable::judge(std::uint32_t row, const MeasuredChannel& channel) const {
  const Application& application = table_[row];
  Tally tally;
  if (application.cable_class) {
    if (!channel.cable_class)
      tally.demand(CarryReason::cable_class_unknown);
    else if (application.cable_class->value < *channel.cable_class)
      tally.leave_open(CarryReason::cable_class_differs);
  }
  if (!application.needs.empty()) tally.demand(CarryReason::needs_more);
  judge_length(application, channel, tally);
  judge_lanes(row, channel, tally);
  return tally.settled();
}

}  // namespace strandbook
