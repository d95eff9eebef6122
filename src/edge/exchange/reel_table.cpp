#include "edge/exchange/reel_table.hpp"

#include <fmt/format.h>

#include <array>
#include <deque>

namespace strandbook {
namespace {

constexpr std::array reel_wavelengths = {850, 1300, 1310, 1383, 1490, 1550, 1625};
constexpr double least_attenuation = 0.01;  // dB/km
constexpr double most_attenuation = 20;

constexpr std::string_view maker_words =
    "maker manufacturer factory makers sheet hersteller werk herstellerwert werkswert";
constexpr std::string_view site_words = "site measured onsite own baustelle gemessen messwert eigene";

/// "maker1550 maker1550nm manufacturer1550 ...": every word with the wavelength behind it.
std::string with_wavelength(std::string_view words, int nm) {
  std::string out;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = std::min(words.find(' ', at), words.size());
    const std::string_view word = words.substr(at, end - at);
    out += fmt::format("{0}{1} {0}{1}nm {1}{0} {1}nm{0} ", word, nm);
    at = end + 1;
  }
  return out;
}

struct ReelColumns {
  std::deque<std::string> texts;  ///< what the columns view
  std::vector<TableColumn> columns;

  void add(std::string key, std::string synonyms) {
    texts.push_back(std::move(key));
    const std::string& held = texts.back();
    texts.push_back(std::move(synonyms));
    columns.push_back({.key = held,
                       .synonyms = texts.back(),
                       .kind = CellKind::number,
                       .unit = Unit::db_per_km,
                       .least = least_attenuation,
                       .most = most_attenuation});
  }
};

ReelColumns columns_of_reels() {
  ReelColumns all;
  all.columns = {
      {.key = "reel",
       .synonyms = "reelid reelno reelnumber drum drumid trommel trommelnummer",
       .need = ColumnNeed::filled},
      {.key = "strand",
       .synonyms = "fibre fiber core strandid faser fasernummer ader",
       .need = ColumnNeed::column},
      {.key = "wavelength",
       .synonyms = "lambda wavelengths wellenlange wellenlaenge",
       .unit = Unit::nm,
       .least = 400,
       .most = 2000},
      {.key = "approved_by", .synonyms = "approved approval freigabe freigegeben freigegebenvon"},
  };
  all.add("maker", std::string(maker_words));
  all.add("site", std::string(site_words));
  for (const int nm : reel_wavelengths) {
    all.add(fmt::format("maker_{}", nm), with_wavelength(maker_words, nm));
    all.add(fmt::format("site_{}", nm), with_wavelength(site_words, nm));
  }
  return all;
}

std::optional<DecibelsPerKilometre> attenuation(const SmallRow& row, const std::string& key) {
  const auto number = row.number(key);
  return number ? std::optional(DecibelsPerKilometre{*number}) : std::nullopt;
}

ReelReading reel_reading(const SmallRow& row, double nm, const std::string& suffix) {
  return {row.text("reel"),
          row.text("strand"),
          {nm},
          attenuation(row, "maker" + suffix),
          attenuation(row, "site" + suffix),
          row.text("approved_by"),
          row.at};
}

}  // namespace

Result<ReadRows<ReelReading>> read_reels(const std::vector<Grid>& sheets) {
  const ReelColumns wanted = columns_of_reels();
  Result<SmallTable> table = read_small_table(sheets, wanted.columns, "reels");
  if (!table) return table.problem();
  ReadRows<ReelReading> read{{}, std::move(table->unread), std::move(table->notes)};
  const bool is_long = table->has("maker") || table->has("site");
  for (const SmallRow& row : table->rows) {
    if (is_long) {
      if (const auto nm = row.number("wavelength"))
        read.rows.push_back(reel_reading(row, *nm, ""));
      else
        read.unread.push_back(
            row.refusal("wavelength", "the wavelength in nm", "without it the row says nothing"));
      continue;
    }
    for (const int nm : reel_wavelengths) {
      const std::string suffix = fmt::format("_{}", nm);
      if (table->has("maker" + suffix) || table->has("site" + suffix))
        read.rows.push_back(reel_reading(row, nm, suffix));
    }
  }
  if (read.rows.empty() && read.unread.empty())
    return Problem{sheets.empty() ? Place{} : sheets.front().place(0), "no column with attenuations",
                   "columns such as maker_dB_per_km and site_dB_per_km, or maker_1550 and site_1550",
                   "Name the columns so."};
  return read;
}

}  // namespace strandbook
