#include "edge/exchange/end_face_file.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/json_file.hpp"
#include "edge/exchange/row_reader.hpp"

namespace strandbook {
namespace {

constexpr std::array kinds = {EndFaceKind::multimode, EndFaceKind::single_mode, EndFaceKind::single_mode_apc};
constexpr std::array zones = {EndFaceZone::core, EndFaceZone::cladding, EndFaceZone::adhesive,
                              EndFaceZone::contact};
constexpr std::array marks = {FaceMark::scratch, FaceMark::defect};
constexpr NumberKind size_number{"µm", 0, 1000};
constexpr NumberKind allowed_number{"", 0, 1000};

SizeBand read_band(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  SizeBand band;
  const JsonNode* up_to = object.maybe("up_to_um");
  const JsonNode* below = object.maybe("below_um");
  if (up_to != nullptr && below != nullptr)
    desk.tell(item.line, "\"up_to_um\" and \"below_um\"", "one of the two");
  if (const JsonNode* upper = up_to != nullptr ? up_to : below)
    band.upper = Micrometres{plain_number(upper, size_number, desk)};
  band.with_upper = below == nullptr;
  if (const JsonNode* allowed = object.maybe("allowed"))
    band.allowed = static_cast<int>(plain_number(allowed, allowed_number, desk));
  object.finish();
  return band;
}

void check_bands(const std::vector<SizeBand>& bands, std::size_t line, RuleDesk& desk) {
  if (bands.empty() || bands.back().upper) {
    desk.tell(line, "bands that leave the largest sizes out", "a last band without an upper end");
    return;
  }
  for (std::size_t i = 0; i + 1 < bands.size(); ++i)
    if (!bands[i].upper || (i > 0 && !(*bands[i - 1].upper < *bands[i].upper)))
      desk.tell(line, "bands that do not rise", "each band with a larger upper end than the one before");
}

ZoneLimit read_limit(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  ZoneLimit limit;
  limit.kind = wanted_choice(object, "kind", kinds).value_or(kinds.front());
  limit.zone = wanted_choice(object, "zone", zones).value_or(zones.front());
  limit.mark = wanted_choice(object, "mark", marks).value_or(marks.front());
  if (const JsonNode* list = object.wanted("bands")) {
    if (list->kind != JsonKind::list) desk.tell(list->line, words_of(*list), "a list of bands");
    for (const JsonNode& band : list->items) limit.bands.push_back(read_band(band, desk));
    check_bands(limit.bands, list->line, desk);
  }
  limit.source = read_source(object);
  object.finish();
  return limit;
}

ZoneRing read_ring(const JsonNode& item, RuleDesk& desk) {
  ObjectReader object(item, desk);
  ZoneRing ring;
  ring.mode = wanted_choice(object, "mode", fibre_modes).value_or(fibre_modes.front());
  ring.zone = wanted_choice(object, "zone", zones).value_or(zones.front());
  ring.inner = {plain_number(object.wanted("inner_um"), size_number, desk)};
  ring.outer = {plain_number(object.wanted("outer_um"), size_number, desk)};
  if (!(ring.inner < ring.outer)) desk.tell(item.line, "a ring without width", "inner_um below outer_um");
  ring.source = read_source(object);
  object.finish();
  return ring;
}

template <class Row, class Read>
std::vector<Row> read_rows(ObjectReader& object, std::string_view key, Read read) {
  std::vector<Row> rows;
  const JsonNode* list = object.wanted(key);
  if (list == nullptr) return rows;
  if (list->kind != JsonKind::list)
    object.desk().tell(list->line, fmt::format("\"{}\": {}", key, words_of(*list)), "a list of rows");
  for (const JsonNode& item : list->items) rows.push_back(read(item, object.desk()));
  return rows;
}

void check_whole(const EndFaceLimits& limits, std::size_t line, RuleDesk& desk) {
  for (const EndFaceKind kind : kinds)
    for (const EndFaceZone zone : zones)
      for (const FaceMark mark : marks) {
        const auto rows = std::count_if(
            limits.limits.begin(), limits.limits.end(),
            [&](const ZoneLimit& row) { return row.kind == kind && row.zone == zone && row.mark == mark; });
        if (rows != 1)
          desk.tell(
              line,
              fmt::format("{} rows for {}, zone {}, {}", rows, text_of(kind), text_of(zone), text_of(mark)),
              "one row for each kind, zone and mark");
      }
}

Result<EndFaceLimits> limits_of(const JsonNode& root, const std::string& name) {
  RuleDesk desk(name);
  ObjectReader object(root, desk);
  EndFaceLimits limits;
  object.text_with_words("title");
  desk.document = object.text_with_words("document");
  desk.edition = object.text("edition");
  object.maybe_text("note");
  limits.cautions = read_texts(object.wanted("cautions"), desk);
  limits.rings = read_rows<ZoneRing>(object, "zones", read_ring);
  limits.limits = read_rows<ZoneLimit>(object, "limits", read_limit);
  check_whole(limits, object.line(), desk);
  object.finish();
  if (desk.first_problem()) return *desk.first_problem();
  return limits;
}

}  // namespace

Result<EndFaceLimits> read_end_face_limits_text(std::string_view text, const std::string& name) {
  const Result<JsonNode> root = parse_json(text, name);
  if (!root) return root.problem();
  return limits_of(*root, name);
}

Result<EndFaceLimits> read_end_face_limits(const std::string& path) {
  const Result<JsonNode> root = read_json_file(path);
  if (!root) return root.problem();
  return limits_of(*root, path);
}

}  // namespace strandbook
