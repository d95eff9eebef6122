#include "edge/exchange/array_tables.hpp"

#include <algorithm>

namespace strandbook {
namespace {

constexpr double most_positions = 144;
constexpr std::string_view array_words =
    "trunk trunkid trunkname cable cableid cord link linkid name id mpo bundle harness kabel trunkkabel"
    " strecke verbindung bezeichnung kennung buendel bundel";
constexpr std::string_view fibre_words =
    "fibers fibrecount fibercount fibresinuse positions lanes fasern faserzahl faseranzahl positionen";

const std::vector<TableColumn> traced_columns = {
    {.key = "array", .synonyms = array_words},
    {.key = "near",
     .synonyms = "nearend nearposition nearpos from in nah nahseite nahposition nahende nahesende"
                 " positionnah von seitea positiona enda sidea",
     .kind = CellKind::count,
     .need = ColumnNeed::filled,
     .least = 0,
     .most = 10'000},
    {.key = "far",
     .synonyms = "farend farposition farpos to out fern fernseite fernposition fernende fernesende"
                 " positionfern nach seiteb positionb endb sideb gegenseite",
     .kind = CellKind::count,
     .need = ColumnNeed::column,
     .least = 0,
     .most = 10'000,
     .may_be_dark = true},
    {.key = "fibres", .synonyms = fibre_words, .kind = CellKind::count, .least = 1, .most = most_positions},
};

const std::vector<TableColumn> wanted_columns = {
    {.key = "array", .synonyms = array_words, .need = ColumnNeed::filled},
    {.key = "type",
     .synonyms = "expectedtype wantedtype arraytype polarity polaritytype expected wanted method"
                 " polaritat polaritaet typ solltyp soll methode",
     .need = ColumnNeed::column},
    {.key = "fibres", .synonyms = fibre_words, .kind = CellKind::count, .least = 1, .most = most_positions},
};

const std::vector<TableColumn> measured_columns = {
    {.key = "array", .synonyms = array_words, .need = ColumnNeed::filled},
    {.key = "position",
     .synonyms = "pos lane near nearposition nearpos strand fibre fiber faser ader channel kanal spur nah"
                 " nahposition",
     .kind = CellKind::count,
     .least = 1,
     .most = most_positions},
    {.key = "loss",
     .synonyms = "worstloss maxloss worst worstlaneloss il insertionloss attenuation endtoendloss dampfung"
                 " daempfung einfugedampfung einfuegedaempfung verlust maxdampfung hochstedampfung",
     .unit = Unit::db},
    {.key = "limit",
     .synonyms = "losslimit limitloss allowed grenzwert grenze",
     .unit = Unit::db,
     .least = 0,
     .most = 100},
    {.key = "length",
     .synonyms = "len lanelength fibrelength lange laenge faserlange",
     .unit = Unit::m,
     .least = 0,
     .most = 200'000},
    {.key = "wavelength",
     .synonyms = "nm wave lambda wellenlange wellenlaenge",
     .unit = Unit::nm,
     .least = 600,
     .most = 1700},
    {.key = "direction", .synonyms = "dir richtung"},
};

/// The row's array in `all`, made where it is new.
template <class Row>
Row& row_of(std::vector<Row>& all, const std::string& name) {
  const std::string key = name_key(name);
  const auto at =
      std::find_if(all.begin(), all.end(), [&key](const Row& row) { return name_key(row.name) == key; });
  if (at != all.end()) return *at;
  all.emplace_back();
  all.back().name = name;
  return all.back();
}

std::optional<int> whole(const SmallRow& row, std::string_view key) {
  const std::optional<double> number = row.number(key);
  return number ? std::optional(static_cast<int>(*number)) : std::nullopt;
}

template <class Row>
ReadRows<Row> leftovers_of(SmallTable& table) {
  return {{}, std::move(table.unread), std::move(table.notes)};
}

/// "850 nm AB", whatever of it the row names.
std::string series_of(const SmallRow& row) {
  std::string series = row.text("wavelength");
  if (!series.empty() && series.find_first_not_of("0123456789") == std::string::npos) series += " nm";
  if (!row.text("direction").empty()) series += (series.empty() ? "" : " ") + row.text("direction");
  return series;
}

LaneValue lane_of(const SmallRow& row) {
  LaneValue lane;
  lane.position = whole(row, "position").value_or(0);
  lane.series = series_of(row);
  if (const auto loss = row.number("loss")) lane.loss = Decibels{*loss};
  if (const auto limit = row.number("limit")) lane.limit = Decibels{*limit};
  if (const auto length = row.number("length")) lane.length = Metres{*length};
  lane.dark = !lane.loss && !row.text("loss").empty();
  return lane;
}

}  // namespace

Result<ReadRows<TracedArray>> read_traced_arrays(const std::vector<Grid>& sheets) {
  Result<SmallTable> table = read_small_table(sheets, traced_columns, "traced positions");
  if (!table) return table.problem();
  auto read = leftovers_of<TracedArray>(*table);
  const bool named = table->has("array");
  for (const SmallRow& row : table->rows) {
    if (named && row.text("array").empty()) {
      read.unread.push_back(row.refusal("array", "the array in every row", "fill the cell"));
      continue;
    }
    TracedArray& array = row_of(read.rows, named ? row.text("array") : "array");
    array.lanes.push_back({*whole(row, "near"), whole(row, "far")});
    if (const auto fibres = whole(row, "fibres")) array.fibres = fibres;
  }
  // A spoilt row still tells that its array is there.
  for (const SmallRow& row : table->spoilt)
    if (!row.text("array").empty()) row_of(read.rows, row.text("array"));
  return read;
}

Result<ReadRows<WantedArray>> read_wanted_arrays(const std::vector<Grid>& sheets) {
  Result<SmallTable> table = read_small_table(sheets, wanted_columns, "wanted arrays");
  if (!table) return table.problem();
  auto read = leftovers_of<WantedArray>(*table);
  for (const SmallRow& row : table->rows) {
    const std::size_t before = read.rows.size();
    WantedArray& array = row_of(read.rows, row.text("array"));
    const bool again = read.rows.size() == before;
    if (again && array.type != row.text("type")) {
      read.unread.push_back(
          row.refusal("type", "one type for each array", "another row wants type " + array.type + " of it"));
      continue;
    }
    array.type = row.text("type");
    array.fibres = whole(row, "fibres");
  }
  return read;
}

Result<ReadRows<MeasuredArray>> read_measured_arrays(const std::vector<Grid>& sheets) {
  Result<SmallTable> table = read_small_table(sheets, measured_columns, "losses");
  if (!table) return table.problem();
  if (!table->has("loss") && !table->has("length"))
    return Problem{{sheets.front().file(), {}, 0, {}},
                   "neither losses nor lengths",
                   "a column \"loss\" or \"length\"",
                   "Name or add that column."};
  auto read = leftovers_of<MeasuredArray>(*table);
  for (const SmallRow& row : table->spoilt)
    if (!row.text("array").empty()) row_of(read.rows, row.text("array"));
  for (const SmallRow& row : table->rows) row_of(read.rows, row.text("array")).lanes.push_back(lane_of(row));
  return read;
}

}  // namespace strandbook
