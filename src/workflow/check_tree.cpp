#include "workflow/check_tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "edge/exchange/small_table.hpp"

namespace strandbook {
namespace {

constexpr double wavelengths_of_columns[] = {1270, 1310, 1490, 1550, 1577, 1625};

TableColumn number_column(std::string_view key, std::string_view synonyms, Unit unit, double least,
                          double most) {
  return {key, synonyms, CellKind::number, ColumnNeed::optional, unit, least, most};
}

const std::vector<TableColumn>& tree_columns() {
  static const std::vector<TableColumn> all{
      {"port", "subscriber terminal ont onu teilnehmer anschluss", CellKind::text, ColumnNeed::column},
      {"splitter", "splittername verteiler", CellKind::text},
      {"ratio", "split splitratio splitters teilung teilungsverhaeltnis", CellKind::text},
      number_column("length", "totallength laenge", Unit::m, 0, 200000),
      number_column("feeder", "feederlength zufuehrung", Unit::m, 0, 200000),
      number_column("drop", "droplength abzweig", Unit::m, 0, 200000),
      {"connections", "connectors verbindungen stecker", CellKind::count, ColumnNeed::optional, Unit::none, 0,
       100},
      {"splices", "spleisse", CellKind::count, ColumnNeed::optional, Unit::none, 0, 1000},
      {"fibre", "fiber faser", CellKind::text},
      number_column("wavelength", "lambda wellenlaenge", Unit::nm, 600, 1700),
      number_column("loss", "insertionloss daempfung", Unit::db, -10, 100),
      number_column("received", "rx rxpower receivedpower power level empfang", Unit::dbm, -100, 30),
      number_column("loss1270", "", Unit::db, -10, 100),
      number_column("loss1310", "", Unit::db, -10, 100),
      number_column("loss1490", "", Unit::db, -10, 100),
      number_column("loss1550", "", Unit::db, -10, 100),
      number_column("loss1577", "", Unit::db, -10, 100),
      number_column("loss1625", "", Unit::db, -10, 100),
  };
  return all;
}

/// The port of a row; nothing, with a problem, where its ratio or fibre cannot be read.
std::optional<TreePort> port_of(const SmallRow& row, std::vector<Problem>& unread) {
  TreePort port;
  port.name = row.text("port");
  port.splitter = row.text("splitter");
  port.at = row.at;
  if (!row.text("ratio").empty()) {
    const auto outputs = parse_ratio(row.text("ratio"));
    if (!outputs) {
      unread.push_back(row.refusal("ratio", "splitters such as 1:32 or 1:4+1:8", ""));
      return std::nullopt;
    }
    port.splitters = *outputs;
  }
  if (!row.text("fibre").empty()) {
    port.fibre = parse_fibre_category(row.text("fibre"));
    if (!port.fibre) {
      unread.push_back(row.refusal("fibre", "OS1, OS1a, OS2 or single-mode", ""));
      return std::nullopt;
    }
  }
  if (const auto whole = row.number("length"))
    port.length = Metres{*whole};
  else if (row.number("feeder") || row.number("drop"))
    port.length = Metres{row.number("feeder").value_or(0) + row.number("drop").value_or(0)};
  port.connections = static_cast<int>(row.number("connections").value_or(0));
  port.splices = static_cast<int>(row.number("splices").value_or(0));
  return port;
}

class TreeReader {
 public:
  TreeReader(const TreeQuestion& question, TreeCheck& check) : question_(question), check_(check) {}

  void take(const SmallRow& row) {
    const auto known = known_.find(row.text("port"));
    std::uint32_t at = 0;
    if (known != known_.end()) {
      at = known->second;
    } else {
      auto port = port_of(row, check_.left.unread);
      if (!port) return;
      at = static_cast<std::uint32_t>(check_.ports.size());
      known_.emplace(port->name, at);
      check_.ports.push_back(std::move(*port));
    }
    const std::size_t before = check_.readings.size();
    take_losses(row, at);
    if (check_.readings.size() == before)
      check_.left.unread.push_back(row.refusal("port", "a loss, or a received level and --launch", ""));
  }

 private:
  void take_losses(const SmallRow& row, std::uint32_t port) {
    for (const double nm : wavelengths_of_columns)
      if (const auto loss = row.number(fmt::format("loss{:.0f}", nm))) add(port, {nm}, {*loss});
    const Nanometres wavelength{row.number("wavelength").value_or(1490)};
    if (const auto loss = row.number("loss"))
      add(port, wavelength, {*loss});
    else if (const auto received = row.number("received"); received && question_.launched)
      add(port, wavelength, *question_.launched - PowerDbm{*received});
  }
  void add(std::uint32_t port, Nanometres wavelength, Decibels loss) {
    TreeReading reading;
    reading.port = port;
    reading.wavelength = wavelength;
    reading.loss = loss;
    check_.readings.push_back(reading);
  }

  const TreeQuestion& question_;
  TreeCheck& check_;
  std::map<std::string, std::uint32_t, std::less<>> known_;
};

/// A rule may have no number at 1490 or 1577 nm: that of the next shorter wavelength it has is stricter.
Result<Limit> limit_near(const TreePort& port, const TreeQuestion& question, const SplitterPractice& practice,
                         Nanometres wavelength) {
  Result<Limit> limit = limit_of(port, *question.rule, practice, wavelength, question.method);
  if (limit) return limit;
  for (const double shorter : {1550.0, 1310.0}) {
    if (shorter >= wavelength.value) continue;
    Result<Limit> near = limit_of(port, *question.rule, practice, {shorter}, question.method);
    if (!near) continue;
    near->notes.push_back(fmt::format("The rule has no number at {:g} nm: that of {:g} nm is taken.",
                                      wavelength.value, shorter));
    return near;
  }
  return limit;
}

void judge(TreeReading& reading, const TreeCheck& check, const TreeQuestion& question,
           const SplitterPractice& practice) {
  const TreePort& port = check.ports[reading.port];
  reading.least = least_loss_of(port);
  Result<Limit> limit = limit_near(port, question, practice, reading.wavelength);
  if (!limit) {
    reading.limit_problem = describe(limit.problem());
    return;
  }
  reading.limit = std::move(*limit);
  reading.impossible = !at_most(reading.least, reading.loss);
  if (!reading.impossible)
    reading.outcome =
        decide(reading.loss, reading.limit->value, question.expanded_uncertainty / 2, question.guard);
}

void compare_siblings(TreeCheck& check, const SplitterPractice& practice) {
  std::map<std::pair<std::string, double>, std::vector<std::size_t>> families;
  for (std::size_t i = 0; i < check.readings.size(); ++i)
    families[{check.ports[check.readings[i].port].splitter, check.readings[i].wavelength.value}].push_back(i);
  for (const auto& [key, members] : families) {
    std::vector<std::optional<Decibels>> over;
    for (const std::size_t at : members) {
      const TreeReading& reading = check.readings[at];
      over.push_back(reading.limit ? std::optional(reading.loss - reading.limit->value) : std::nullopt);
    }
    const SiblingView view = beside_siblings(over, practice);
    for (std::size_t i = 0; i < members.size(); ++i) {
      check.readings[members[i]].beyond_median = view.beyond_median[i];
      check.readings[members[i]].stands_out = view.stands_out[i];
    }
  }
}

std::vector<MeasuredLoss> losses_of(const TreeCheck& check, std::uint32_t port,
                                    const TreeQuestion& question) {
  std::vector<MeasuredLoss> losses;
  for (const TreeReading& reading : check.readings)
    if (reading.port == port && !reading.impossible)
      losses.push_back(
          {reading.wavelength, reading.loss, question.expanded_uncertainty / 2, reading.loss, {}});
  return losses;
}

void answer(TreeCheck& check, const TreeQuestion& question, const KnownApplications& known) {
  for (std::uint32_t port = 0; port < check.ports.size(); ++port) {
    const std::vector<MeasuredLoss> losses = losses_of(check, port, question);
    const MeasuredChannel channel{
        check.ports[port].fibre, {}, check.ports[port].length, losses, question.guard};
    for (std::uint32_t row = 0; row < known.rows().size(); ++row) {
      const Application& application = known.rows()[row];
      const auto& wanted = question.applications;
      if (application.family != ApplicationFamily::passive_optical) continue;
      if (!wanted.empty() && std::find(wanted.begin(), wanted.end(), application.name) == wanted.end())
        continue;
      check.answers.push_back({port, row, known.table().judge(row, channel)});
    }
  }
}

}  // namespace

std::optional<std::vector<int>> parse_ratio(std::string_view text) {
  std::vector<int> outputs;
  int number = 0;
  bool digits = false;
  bool inputs = false;  // the number before the sign counts inputs
  const auto close = [&] {
    if (!digits || number < 2 || number > 1024) return false;
    outputs.push_back(number);
    number = 0;
    digits = inputs = false;
    return true;
  };
  for (const char c : text) {
    if (c == ' ') continue;
    if (c >= '0' && c <= '9' && number < 10000) {
      number = number * 10 + (c - '0');
      digits = true;
    } else if ((c == ':' || c == 'x' || c == '/') && digits && !inputs && (number == 1 || number == 2)) {
      number = 0;
      digits = false;
      inputs = true;
    } else if (c != '+' || !close()) {
      return std::nullopt;
    }
  }
  if (!close()) return std::nullopt;
  return outputs;
}

Result<TreeCheck> check_tree(const std::string& path, const TreeQuestion& question,
                             const SplitterPractice& practice, const KnownApplications& known) {
  Result<SmallTable> table = read_small_table(path, tree_columns(), "ports of a passive optical network");
  if (!table) return table.problem();
  TreeCheck check;
  check.left = {std::move(table->unread), std::move(table->notes)};
  TreeReader reader(question, check);
  for (const SmallRow& row : table->rows) reader.take(row);
  for (TreeReading& reading : check.readings) judge(reading, check, question, practice);
  compare_siblings(check, practice);
  answer(check, question, known);
  return check;
}

bool all_hold(const TreeCheck& check) {
  return check.left.unread.empty() &&
         std::all_of(check.readings.begin(), check.readings.end(), [](const TreeReading& reading) {
           return (reading.outcome == Outcome::pass || reading.outcome == Outcome::conditional_pass) &&
                  !reading.stands_out;
         });
}

}  // namespace strandbook
