// Splices, connections and traces.

#include "edge/exchange/profile_parts.hpp"
#include "edge/exchange/profile_reader.hpp"

namespace strandbook {
namespace {

constexpr std::array joints = {SpliceJoint::splice, SpliceJoint::pigtail_splice,
                               SpliceJoint::connector_with_splice};
constexpr std::array methods = {SpliceMethod::fusion, SpliceMethod::mechanical};
constexpr std::array measures = {SpliceMeasure::one_way, SpliceMeasure::two_way_mean};
constexpr std::array counts = {SpliceCount::each, SpliceCount::span_mean};
constexpr std::array splice_stages = {BuildStage::while_building, BuildStage::final_acceptance};

constexpr NumberKind attempts_number{"attempts", 1, 20};
constexpr NumberKind percent_number{"%", 0.1, 1000};
constexpr NumberKind per_kilometre_number{"1/km", 0, 100};
constexpr NumberKind least_return_loss_number{"dB", 0, 100};
constexpr NumberKind pulse_number{"ns", 1, 100000};
constexpr NumberKind event_number{"dB", 0.001, 5};
constexpr NumberKind averages_number{"averages", 1, 100000000};
constexpr NumberKind otdr_index_number{"1", 1.3, 1.6};

Sourced<Decibels> wanted_decibels(ObjectReader& object, std::string_view key) {
  const SourcedNumber number = read_number(object.wanted(key), joint_number, object.desk());
  return {{number.value}, number.source};
}

std::optional<RelaxedSplice> read_relaxed(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  ObjectReader object(*node, desk);
  const double attempts = plain_number(object.wanted("attempts"), attempts_number, desk);
  RelaxedSplice relaxed{static_cast<int>(attempts), wanted_decibels(object, "limit"),
                        object.text_with_words("consequence")};
  if (relaxed.attempts != attempts)
    desk.tell(node->line, "attempts that are no whole number", "1, 2, 3, ...");
  object.finish();
  return relaxed;
}

/// A limit for worse cases must not be smaller, and an aim not greater, than the limit itself.
void check_order(const SpliceDemand& demand, ObjectReader& object) {
  const Decibels limit = demand.limit.value;
  const auto tell = [&](const char* what, Decibels value, const char* wanted) {
    object.desk().tell(object.line(),
                       fmt::format("{} of {} dB beside a limit of {} dB", what, value.value, limit.value),
                       wanted, "Correct one of the two.");
  };
  if (demand.nominal && limit < demand.nominal->value)
    tell("a nominal loss", demand.nominal->value, "at most the limit");
  if (demand.mismatched && demand.mismatched->value < limit)
    tell("a limit for mismatched fibres", demand.mismatched->value, "at least the limit");
  if (demand.relaxed && demand.relaxed->limit.value < limit)
    tell("a relaxed limit", demand.relaxed->limit.value, "at least the limit");
}

template <class T>
std::string named(const std::optional<T>& choice) {
  return choice ? fmt::format(", {}", text_of(*choice)) : std::string();
}

std::string words_of(const SpliceDemand& demand) {
  const std::string at =
      demand.wavelength ? fmt::format(" at {} nm", demand.wavelength->value) : std::string();
  return fmt::format("limit of {}{}, {}{}{}{}{}", text_of(demand.joint), at, text_of(demand.count),
                     named(demand.method), named(demand.mode), named(demand.measure), named(demand.stage));
}

/// All of a row but its wavelengths.
SpliceDemand read_splice(ObjectReader& object) {
  SpliceDemand demand;
  demand.joint = wanted_choice(object, "joint", joints).value_or(demand.joint);
  demand.method = maybe_choice(object, "method", methods);
  demand.mode = maybe_choice(object, "mode", fibre_modes);
  demand.measure = maybe_choice(object, "measured", measures);
  demand.count = maybe_choice(object, "of", counts).value_or(demand.count);
  demand.stage = maybe_choice(object, "stage", splice_stages);
  demand.limit = wanted_decibels(object, "limit");
  demand.nominal = maybe_sourced<Decibels>(object, "nominal", joint_number);
  demand.mismatched = maybe_sourced<Decibels>(object, "mismatched", joint_number);
  demand.relaxed = read_relaxed(object.maybe("relaxed"), object.desk());
  check_order(demand, object);
  return demand;
}

std::vector<SpliceDemand> read_splice_demands(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<SpliceDemand>(node, desk, [&](ObjectReader& object) {
    SpliceDemand demand = read_splice(object);
    const JsonNode* at = object.maybe("wavelength_nm");
    std::vector<SpliceDemand> rows;
    for (const double each : plain_numbers(at, wavelength_number, desk)) {
      demand.wavelength = Nanometres{each};
      rows.push_back(demand);
    }
    if (at == nullptr) rows.push_back(demand);
    for (const SpliceDemand& row : rows) once.claim(words_of(row), object.line(), desk);
    return rows;
  });
}

std::vector<ReturnLossDemand> read_return_loss(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<ReturnLossDemand>(node, desk, [&](ObjectReader& object) {
    const auto modes_here = read_choices(object.wanted("mode"), fibre_modes, desk);
    const auto directions = wanted_choice(object, "directions", direction_demands);
    const SourcedNumber least = read_number(object.wanted("least"), least_return_loss_number, desk);
    std::vector<ReturnLossDemand> rows;
    for (const FibreMode mode : modes_here) {
      once.claim(fmt::format("return loss on {}", text_of(mode)), object.line(), desk);
      rows.push_back({mode, directions.value_or(DirectionDemand::either), {{least.value}, least.source}});
    }
    return rows;
  });
}

std::vector<IndexDemand> read_indices(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<IndexDemand>(node, desk, [&](ObjectReader& object) {
    const Nanometres at{plain_number(object.wanted("wavelength_nm"), wavelength_number, desk)};
    const SourcedNumber index = read_number(object.wanted("index"), otdr_index_number, desk);
    once.claim(fmt::format("index at {} nm", at.value), object.line(), desk);
    return std::vector<IndexDemand>{{at, {index.value, index.source}}};
  });
}

std::optional<Sourced<std::vector<Nanometres>>> read_wavelengths(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  const SourcedNumbers numbers = read_numbers(node, wavelength_number, desk);
  Sourced<std::vector<Nanometres>> wavelengths{{}, numbers.source};
  Once once;
  for (const double at : numbers.values) {
    once.claim(fmt::format("wavelength {} nm", at), node->line, desk);
    wavelengths.value.push_back({at});
  }
  return wavelengths;
}

std::optional<OtdrDemand> read_otdr(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  ObjectReader object(*node, desk);
  OtdrDemand otdr;
  otdr.wavelengths = read_wavelengths(object.maybe("wavelengths"), desk);
  otdr.directions = maybe_sourced_choice(object, "directions", "demand", direction_demands);
  otdr.launch_cord_least = maybe_sourced<Metres>(object, "launch_cord_least", length_number);
  otdr.launch_cord_dead_zone = maybe_sourced<double>(object, "launch_cord_dead_zone", percent_number);
  otdr.pulse_most = maybe_sourced<double>(object, "pulse_most", pulse_number);
  otdr.smallest_event = maybe_sourced<Decibels>(object, "smallest_event", event_number);
  otdr.averages_least = maybe_sourced<double>(object, "averages_least", averages_number);
  otdr.range_most = maybe_sourced<Metres>(object, "range_most", length_number);
  otdr.indices = read_indices(object.maybe("indices"), desk);
  object.finish();
  return otdr;
}

}  // namespace

void read_plant_and_traces(ObjectReader& object, OwnerProfile& profile) {
  RuleDesk& desk = object.desk();
  profile.splices = read_splice_demands(object.maybe("splices"), desk);
  profile.splices_per_km_most = maybe_sourced<double>(object, "splices_per_km_most", per_kilometre_number);
  profile.return_loss = read_return_loss(object.maybe("return_loss"), desk);
  profile.reel_deviation_most = maybe_sourced<double>(object, "reel_deviation_most", percent_number);
  profile.otdr = read_otdr(object.maybe("otdr"), desk);
}

}  // namespace strandbook
