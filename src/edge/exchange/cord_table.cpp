#include "edge/exchange/cord_table.hpp"

namespace strandbook {
namespace {

const std::vector<TableColumn> mating_columns = {
    {.key = "cord",
     .synonyms = "cordid jumper jumperid patchcord id name serial serialno kabel patchkabel schnur"
                 " seriennummer bezeichnung sample specimen prufling"},
    {.key = "end", .synonyms = "connector plug side ende seite stecker"},
    {.key = "loss",
     .synonyms = "il insertionloss attenuation dampfung daempfung einfugedampfung einfuegedaempfung",
     .need = ColumnNeed::filled,
     .unit = Unit::db},
    {.key = "return_loss",
     .synonyms = "rl returnlossdb ruckflussdampfung rueckflussdaempfung",
     .unit = Unit::db,
     .least = 0,
     .most = 100},
    {.key = "reflectance", .synonyms = "reflexion reflektanz", .unit = Unit::db, .least = -100, .most = 0},
};

}  // namespace

Result<ReadRows<Mating>> read_matings(const std::vector<Grid>& sheets) {
  Result<SmallTable> table = read_small_table(sheets, mating_columns, "matings");
  if (!table) return table.problem();
  ReadRows<Mating> read{{}, std::move(table->unread), std::move(table->notes)};
  for (const SmallRow& row : table->rows) {
    const auto loss = row.number("loss");
    if (!loss) {
      read.unread.push_back(row.refusal("loss", "a loss in dB", "no light: mate it again or leave it out"));
      continue;
    }
    Mating mating{row.text("cord"), row.text("end"), {*loss}, std::nullopt};
    if (const auto found = row.number("reflectance")) mating.return_loss = Decibels{-*found};
    if (const auto found = row.number("return_loss")) mating.return_loss = Decibels{*found};
    read.rows.push_back(std::move(mating));
  }
  return read;
}

}  // namespace strandbook
