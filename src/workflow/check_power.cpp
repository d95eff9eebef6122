#include "workflow/check_power.hpp"

#include <algorithm>
#include <map>

#include "edge/exchange/small_table.hpp"

namespace strandbook {
namespace {

constexpr double highest_launch_dbm = 30;

constexpr std::string_view received_names =
    "rx rxpower receive receivedpower receivepower empfang empfangspegel";
constexpr std::string_view launched_names = "tx txpower launch transmit transmitpower launchpower sendepegel";

const std::vector<TableColumn>& level_columns() {
  const auto level = [](std::string_view key, std::string_view synonyms) {
    return TableColumn{key,       synonyms, CellKind::number,  ColumnNeed::optional,
                       Unit::dbm, -100,     highest_launch_dbm};
  };
  const auto ratio = [](std::string_view key, std::string_view synonyms, double most) {
    return TableColumn{key, synonyms, CellKind::number, ColumnNeed::optional, Unit::db, 0, most};
  };
  const auto power = [](std::string_view key, std::string_view synonyms) {
    return TableColumn{key, synonyms, CellKind::number, ColumnNeed::optional, Unit::mw, 0, 10000};
  };
  static const std::vector<TableColumn> all{
      {"port", "link module name step interface anschluss schnittstelle strecke", CellKind::text,
       ColumnNeed::column},
      {"lane", "channel spur kanal", CellKind::count, ColumnNeed::optional, Unit::none, 1, 64},
      level("received", received_names),
      level("launched", launched_names),
      power("received_mw", received_names),
      power("launched_mw", launched_names),
      ratio("loss", "pathloss linkloss daempfung dampfung", 100),
      level("low_alarm", "rxlowalarm lowalarm"),
      level("low_warning", "rxlowwarn rxlowwarning lowwarn lowwarning"),
      level("high_warning", "rxhighwarn rxhighwarning highwarn highwarning"),
      level("high_alarm", "rxhighalarm highalarm"),
      level("sensitivity", "rxmin receivemin empfindlichkeit"),
      level("overload", "rxmax receivemax uebersteuerung"),
      ratio("reserve", "systemreserve", 60),
      ratio("uncertainty", "u expandeduncertainty unsicherheit", 5),
  };
  return all;
}

RuleRef own_source(const Place& at) { return {describe(at), "", "", Standing::own, ""}; }

void put(std::optional<Sourced<PowerDbm>>& bound, const SmallRow& row, std::string_view key) {
  if (const auto number = row.number(key)) bound = {PowerDbm{*number}, own_source(row.at)};
}
void put(std::optional<Sourced<PowerDbm>>& bound, const std::optional<PowerDbm>& own) {
  if (own) bound = {*own, {"stated for this check", "", "", Standing::own, ""}};
}

LevelWindow asked_window(const PowerQuestion& question, LevelEnd end) {
  LevelWindow window;
  if (question.application != nullptr) window = window_of(*question.application, end);
  put(window.low_alarm, end == LevelEnd::launch ? question.launch_min : question.receive_min);
  put(window.high_alarm, end == LevelEnd::launch ? question.launch_max : question.receive_max);
  if (end == LevelEnd::receive) window.reserve = question.reserve;
  return window;
}

/// What the row itself says goes before what was asked for all.
LevelWindow row_window(const SmallRow& row, const PowerQuestion& question, LevelEnd end) {
  LevelWindow window = asked_window(question, end);
  if (end == LevelEnd::launch) return window;
  put(window.low_alarm, row, "sensitivity");
  put(window.low_alarm, row, "low_alarm");
  put(window.high_alarm, row, "overload");
  put(window.high_alarm, row, "high_alarm");
  put(window.low_warning, row, "low_warning");
  put(window.high_warning, row, "high_warning");
  if (const auto reserve = row.number("reserve")) window.reserve = {*reserve};
  return window;
}

bool filled(const SmallRow& row, std::string_view key) { return row.cells.find(key) != row.cells.end(); }
bool was_read(const SmallRow& row, LevelEnd end) {
  const bool receive = end == LevelEnd::receive;
  return filled(row, receive ? "received" : "launched") ||
         filled(row, receive ? "received_mw" : "launched_mw");
}

/// In dBm, as the cell says or worked out from mW; nothing where there is no light.
std::optional<double> level_in(const SmallRow& row, LevelEnd end) {
  const bool receive = end == LevelEnd::receive;
  if (filled(row, receive ? "received" : "launched")) return row.number(receive ? "received" : "launched");
  const auto milliwatts = row.number(receive ? "received_mw" : "launched_mw");
  if (!milliwatts || *milliwatts <= 0) return std::nullopt;
  return to_dbm({*milliwatts}).value;
}

/// Which lanes of a port of several show exactly nothing at both ends.
bool lane_unused(const SmallRow& row, std::size_t lanes, const PowerLevels& meanings) {
  const auto received = row.number("received");
  const auto launched = row.number("launched");
  return lanes > 1 && received && launched && *received == meanings.unused_lane.value.value &&
         *launched == meanings.unused_lane.value.value;
}

LiveLevel level_of(const SmallRow& row, LevelEnd end, const PowerQuestion& question,
                   const PowerLevels& meanings) {
  LiveLevel level;
  level.port = row.text("port");
  level.lane = static_cast<int>(row.number("lane").value_or(0));
  level.end = end;
  level.at = row.at;
  level.standard_uncertainty = {row.number("uncertainty").value_or(question.expanded_uncertainty.value) / 2};
  const auto number = level_in(row, end);
  if (!number || *number <= meanings.no_light.value.value)
    level.kind = LevelKind::no_light;
  else
    level.level = {*number};
  return level;
}

Problem implausible(const SmallRow& row, const PowerLevels& meanings) {
  const double most = meanings.implausible_receive.value.value;
  return row.refusal("received",
                     "a received level of at most " + std::to_string(static_cast<int>(most)) + " dBm",
                     "Was the minus sign left out? Ask for it: -" + row.text("received") + "?");
}

class Checker {
 public:
  Checker(const PowerQuestion& question, const PowerLevels& meanings)
      : question_(question), meanings_(meanings) {}

  void count_lanes(const std::vector<SmallRow>& rows) {
    for (const SmallRow& row : rows) ++lanes_[row.text("port")];
  }
  void take(const SmallRow& row, PowerCheck& check) {
    if (const auto received = level_in(row, LevelEnd::receive);
        received && *received > meanings_.implausible_receive.value.value)
      return check.left.unread.push_back(implausible(row, meanings_));
    if (lane_unused(row, lanes_[row.text("port")], meanings_)) {
      LiveLevel level = level_of(row, LevelEnd::receive, question_, meanings_);
      level.kind = LevelKind::lane_unused;
      return add(level, {}, check);
    }
    if (was_read(row, LevelEnd::launch))
      add(level_of(row, LevelEnd::launch, question_, meanings_), row_window(row, question_, LevelEnd::launch),
          check);
    if (was_read(row, LevelEnd::receive))
      add(level_of(row, LevelEnd::receive, question_, meanings_),
          row_window(row, question_, LevelEnd::receive), check);
    else if (row.number("loss"))
      predict(row, check);
  }

 private:
  void add(LiveLevel level, LevelWindow window, PowerCheck& check) const {
    const JudgedLevel judged = judge_level(level, window, question_.guard);
    check.levels.push_back({std::move(level), std::move(window), judged, false});
  }
  void predict(const SmallRow& row, PowerCheck& check) const {
    const auto launched = row.number("launched");
    const std::optional<PowerDbm> from = launched ? PowerDbm{*launched} : question_.launch_min;
    if (!from)
      return check.left.unread.push_back(row.refusal("loss", "the transmitter's level beside the loss",
                                                     "Give a column tx, or --launch-min."));
    LiveLevel level = level_of(row, LevelEnd::receive, question_, meanings_);
    level.kind = LevelKind::level;
    level.level = *from - Decibels{*row.number("loss")};
    add(std::move(level), row_window(row, question_, LevelEnd::receive), check);
    check.levels.back().predicted = true;
  }

  const PowerQuestion& question_;
  const PowerLevels& meanings_;
  std::map<std::string, std::size_t, std::less<>> lanes_;
};

}  // namespace

Result<PowerCheck> check_power_file(const std::string& path, const PowerQuestion& question,
                                    const PowerLevels& meanings) {
  Result<SmallTable> table = read_small_table(path, level_columns(), "levels of live equipment");
  if (!table) return table.problem();
  if (!table->has("received") && !table->has("received_mw") && !table->has("launched") && !table->has("loss"))
    return Problem{
        {path, {}, 0, {}}, "no column of levels", "a column rx, tx or loss", "Name the columns so."};
  PowerCheck check;
  check.left = {std::move(table->unread), std::move(table->notes)};
  Checker checker(question, meanings);
  checker.count_lanes(table->rows);
  for (const SmallRow& row : table->rows) checker.take(row, check);
  return check;
}

CheckedLevel check_level(const LiveLevel& level, const PowerQuestion& question) {
  LevelWindow window = asked_window(question, level.end);
  const JudgedLevel judged = judge_level(level, window, question.guard);
  return {level, std::move(window), judged, false};
}

bool all_hold(const PowerCheck& check) {
  return check.left.unread.empty() &&
         std::all_of(check.levels.begin(), check.levels.end(), [](const CheckedLevel& each) {
           return each.judged.outcome == Outcome::pass || each.judged.outcome == Outcome::conditional_pass ||
                  each.judged.reason == LevelReason::lane_unused;
         });
}

}  // namespace strandbook
