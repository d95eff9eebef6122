#include "edge/exchange/inspection_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "domain/applications/array_check.hpp"
#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

const std::vector<TableColumn> inspection_columns = {
    {.key = "link",
     .synonyms = "linkid trunk cable cord circuit strecke verbindung kabel id name bezeichnung strand faser"},
    {.key = "face",
     .synonyms = "endface end connector plug port lane position stirnflache stecker ende seite"},
    {.key = "kind",
     .synonyms = "endfacekind fibre fiber fibrekind fibretype fibertype polish faser fasertyp schliff"},
    {.key = "mark",
     .synonyms = "marktype feature defect defecttype finding seen fehler fehlerart art merkmal befund",
     .need = ColumnNeed::filled},
    {.key = "zone", .synonyms = "region bereich"},
    {.key = "size",
     .synonyms = "width diameter grosse groesse breite durchmesser",
     .unit = Unit::um,
     .least = 0,
     .most = 1000},
    {.key = "count",
     .synonyms = "number quantity qty n anzahl menge",
     .kind = CellKind::count,
     .least = 1,
     .most = 10'000},
    {.key = "limit",
     .synonyms = "ownlimit zonelimit sitelimit maxsize grenzwert grenze",
     .unit = Unit::um,
     .least = 0,
     .most = 1000},
};

template <class T>
struct Word {
  std::string_view key;
  T meaning;
};

enum class Seen { scratch, defect, nothing, not_inspected };
constexpr auto seen_words = std::to_array<Word<Seen>>({{"scratch", Seen::scratch},
                                                       {"scratches", Seen::scratch},
                                                       {"kratzer", Seen::scratch},
                                                       {"riefe", Seen::scratch},
                                                       {"defect", Seen::defect},
                                                       {"defects", Seen::defect},
                                                       {"pit", Seen::defect},
                                                       {"pits", Seen::defect},
                                                       {"chip", Seen::defect},
                                                       {"chips", Seen::defect},
                                                       {"particle", Seen::defect},
                                                       {"particles", Seen::defect},
                                                       {"dirt", Seen::defect},
                                                       {"contamination", Seen::defect},
                                                       {"debris", Seen::defect},
                                                       {"dust", Seen::defect},
                                                       {"crack", Seen::defect},
                                                       {"stain", Seen::defect},
                                                       {"defekt", Seen::defect},
                                                       {"ausbruch", Seen::defect},
                                                       {"partikel", Seen::defect},
                                                       {"schmutz", Seen::defect},
                                                       {"fleck", Seen::defect},
                                                       {"riss", Seen::defect},
                                                       {"none", Seen::nothing},
                                                       {"clean", Seen::nothing},
                                                       {"nothing", Seen::nothing},
                                                       {"keine", Seen::nothing},
                                                       {"kein", Seen::nothing},
                                                       {"sauber", Seen::nothing},
                                                       {"notinspected", Seen::not_inspected},
                                                       {"nichtgepruft", Seen::not_inspected},
                                                       {"nichtgeprueft", Seen::not_inspected}});
constexpr auto zone_words = std::to_array<Word<EndFaceZone>>({{"a", EndFaceZone::core},
                                                              {"core", EndFaceZone::core},
                                                              {"kern", EndFaceZone::core},
                                                              {"b", EndFaceZone::cladding},
                                                              {"cladding", EndFaceZone::cladding},
                                                              {"mantel", EndFaceZone::cladding},
                                                              {"c", EndFaceZone::adhesive},
                                                              {"adhesive", EndFaceZone::adhesive},
                                                              {"klebstoff", EndFaceZone::adhesive},
                                                              {"d", EndFaceZone::contact},
                                                              {"contact", EndFaceZone::contact},
                                                              {"kontakt", EndFaceZone::contact}});

template <class T, std::size_t N>
std::optional<T> meaning_of(std::string_view key, const std::array<Word<T>, N>& words) {
  const auto at =
      std::find_if(words.begin(), words.end(), [key](const auto& word) { return word.key == key; });
  return at == words.end() ? std::nullopt : std::optional(at->meaning);
}

std::optional<EndFaceZone> zone_in(std::string_view text) {
  std::string key = bare_key(text);
  if (key.size() > 4 && key.starts_with("zone")) key.erase(0, 4);
  return meaning_of(key, zone_words);
}

/// "single-mode-apc", "LC/APC", "OM4", "SM"; angled goes before the fibre.
std::optional<EndFaceKind> kind_in(std::string_view text) {
  const std::string key = bare_key(text);
  if (key.ends_with("apc") || key.starts_with("apc")) return EndFaceKind::single_mode_apc;
  if (const auto kind = parse_end_face_kind(text)) return kind;
  const auto category = parse_fibre_category(text);
  if (category)
    return mode_of(*category) == FibreMode::multimode ? EndFaceKind::multimode : EndFaceKind::single_mode;
  if (key == "mm") return EndFaceKind::multimode;
  return key == "sm" ? std::optional(EndFaceKind::single_mode) : std::nullopt;
}

class InspectionReader {
 public:
  explicit InspectionReader(SmallTable& table) {
    read_.unread = std::move(table.unread);
    read_.notes = std::move(table.notes);
  }

  void take_row(const SmallRow& row) {
    InspectedFace* face = face_of(row);
    if (face == nullptr) return;
    if (const std::string& kind = row.text("kind"); !kind.empty()) {
      const std::optional<EndFaceKind> named = kind_in(kind);
      if (named && face->kind && named != face->kind)
        return refuse(row, "kind", "one kind for each end face", "correct the kind, or the name of the face");
      if (!named) refuse(row, "kind", "multimode, single-mode or single-mode-apc", "correct the word");
      face->kind = named;
    }
    take_mark(row, *face);
  }

  void take_spoilt(const SmallRow& row) {
    if (InspectedFace* face = face_of(row))
      face->unread.push_back(fmt::format("Row {} of {} cannot be read.", row.at.row, row.at.file));
  }

  ReadRows<InspectedFace> taken() { return std::move(read_); }

 private:
  InspectedFace* face_of(const SmallRow& row) {
    const std::string& link = row.text("link");
    const std::string& face = row.text("face");
    if (link.empty() && face.empty()) {
      read_.unread.push_back(
          {row.at, "neither link nor end face", "the name of the face in every row", "fill the cell"});
      return nullptr;
    }
    for (InspectedFace& known : read_.rows)
      if (name_key(known.link) == name_key(link) && name_key(known.face) == name_key(face)) return &known;
    read_.rows.push_back({link, face, {}, true, {}, {}});
    return &read_.rows.back();
  }

  void refuse(const SmallRow& row, std::string_view key, std::string wanted, std::string advice) {
    read_.unread.push_back(row.refusal(key, std::move(wanted), std::move(advice)));
    take_spoilt(row);
  }

  void take_mark(const SmallRow& row, InspectedFace& face) {
    const std::optional<Seen> seen = meaning_of(bare_key(row.text("mark")), seen_words);
    if (!seen) return refuse(row, "mark", "scratch, defect, none or not inspected", "name what was seen");
    if (*seen == Seen::not_inspected) face.inspected = false;
    if (*seen == Seen::not_inspected || *seen == Seen::nothing) return;
    const std::optional<EndFaceZone> zone = zone_in(row.text("zone"));
    if (!zone) return refuse(row, "zone", "zone A, B, C or D", "name the zone of the mark");
    const std::optional<double> size = row.number("size");
    if (!size)
      return refuse(row, "size", "the size of the mark in µm", "measure it, or give the largest it can be");
    SeenMark mark{*seen == Seen::scratch ? FaceMark::scratch : FaceMark::defect, *zone, {*size}, 1, {}};
    if (const auto count = row.number("count")) mark.count = static_cast<int>(*count);
    if (const auto limit = row.number("limit")) mark.own_limit = Micrometres{*limit};
    face.marks.push_back(mark);
  }

  ReadRows<InspectedFace> read_;
};

}  // namespace

Result<ReadRows<InspectedFace>> read_inspections(const std::vector<Grid>& sheets) {
  Result<SmallTable> table = read_small_table(sheets, inspection_columns, "inspections");
  if (!table) return table.problem();
  InspectionReader reader(*table);
  for (const SmallRow& row : table->rows) reader.take_row(row);
  for (const SmallRow& row : table->spoilt) reader.take_spoilt(row);
  return reader.taken();
}

}  // namespace strandbook
