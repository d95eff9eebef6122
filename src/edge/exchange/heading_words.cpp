#include "edge/exchange/heading_words.hpp"

#include <algorithm>
#include <array>

#include "edge/exchange/cell_number.hpp"
#include "edge/exchange/cell_text.hpp"
#include "edge/exchange/heading_synonyms.hpp"

namespace strandbook {
namespace {

/// Words and numbers of a folded heading; "IL1310AB" parts into il, 1310, ab; "0.85" stays whole.
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  const std::string plain = folded(text);
  enum class Run { none, letters, digits } run = Run::none;
  for (std::size_t i = 0; i < plain.size(); ++i) {
    const char c = plain[i];
    const bool decimal =
        (c == '.' || c == ',') && run == Run::digits && i + 1 < plain.size() && is_digit(plain[i + 1]);
    const Run next = is_digit(c) || decimal     ? Run::digits
                     : is_letter(c) || c == '%' ? Run::letters
                                                : Run::none;
    if (next != Run::none && next != run) words.emplace_back();
    if (next != Run::none) words.back() += decimal ? '.' : c;
    run = next;
  }
  return words;
}

double as_number(const std::string& word) {
  if (word.empty() || !is_digit(word[0])) return -1;
  return read_plain_number(word).value_or(-1);
}

/// Wavelength that the number stands for: 850, or 0.85 if `unit` says micrometres; 0 where it is none.
double as_wavelength(double number, Unit unit) {
  const double nm = unit == Unit::um ? number * 1000 : number;
  return nm >= 600 && nm <= 1700 ? nm : 0;
}

bool is_joint(const std::string& word) {
  return word == "to" || word == "nach" || word == "vers" || word == "hacia" || word == "zu" || word == "po";
}

class HeadingReader {
 public:
  explicit HeadingReader(std::string_view heading) : words_(words_of(heading)) {
    while (at_ < words_.size()) take_word();
  }
  HeadingMeaning meaning;
  std::vector<std::string> rest;  ///< words that are no unit, wavelength or direction

 private:
  const std::string& word(std::size_t ahead) const {
    static const std::string none;
    return at_ + ahead < words_.size() ? words_[at_ + ahead] : none;
  }
  void take_word() {
    if (take_wavelength() || take_direction() || take_unit()) return;
    rest.push_back(words_[at_++]);
  }
  bool take_wavelength() {
    const double number = as_number(word(0));
    if (number < 0) return false;
    const Unit unit = unit_of_word(word(1));
    const double nm = as_wavelength(number, unit);
    if (nm == 0) return false;
    meaning.several_wavelengths = meaning.wavelength_nm != 0 && meaning.wavelength_nm != nm;
    meaning.wavelength_nm = nm;
    at_ += unit == Unit::nm || unit == Unit::um ? 2 : 1;
    return true;
  }
  bool take_direction() {
    const auto set = [this](Direction d, std::size_t words) {
      meaning.direction = d;
      at_ += words;
      return true;
    };
    if (word(0) == "ab") return set(Direction::a_to_b, 1);
    if (word(0) == "ba") return set(Direction::b_to_a, 1);
    const std::size_t second = is_joint(word(1)) ? 2 : 1;
    if (word(0) == "a" && word(second) == "b") return set(Direction::a_to_b, second + 1);
    if (word(0) == "b" && word(second) == "a") return set(Direction::b_to_a, second + 1);
    return false;
  }
  bool take_unit() {
    Unit unit = unit_of_word(word(0));
    if (unit == Unit::none) return false;
    ++at_;
    const std::size_t per = word(0) == "per" ? 1 : 0;
    if (unit == Unit::db && unit_of_word(word(per)) == Unit::km) {
      unit = Unit::db_per_km;
      at_ += per + 1;
    }
    if (meaning.unit == Unit::none) meaning.unit = unit;
    return true;
  }
  std::vector<std::string> words_;
  std::size_t at_ = 0;
};

std::string joined_words(const std::vector<std::string>& words) {
  std::string key;
  for (const std::string& w : words) key += w;
  return key;
}

/// "powerdbm" or "losswavelengthnm" written as one word.
std::optional<Synonym> without_unit_suffix(const std::string& key, Unit& unit) {
  for (const std::string_view suffix : {"dbm", "db", "nm", "mw", "um", "km", "ft"}) {
    if (key.size() <= suffix.size() || !key.ends_with(suffix)) continue;
    const auto found = synonym_of(std::string_view(key).substr(0, key.size() - suffix.size()));
    if (!found) continue;
    unit = unit_of_word(suffix);
    return found;
  }
  return std::nullopt;
}

/// Meaning of a heading that has no word but units, wavelengths, directions.
Field field_of_unit(const HeadingMeaning& meaning) {
  switch (meaning.unit) {
    case Unit::db:
      return Field::loss;
    case Unit::dbm:
    case Unit::mw:
    case Unit::uw:
    case Unit::nw:
      return Field::power;
    case Unit::nm:
    case Unit::um:
      return Field::wavelength;
    case Unit::m:
    case Unit::km:
    case Unit::ft:
      return Field::length;
    case Unit::none:
    case Unit::db_per_km:
    case Unit::percent:
      return Field::unknown;
  }
  return Field::unknown;
}

/// The first forbidding word wins, else the first that settles.
Field field_of_words(const std::vector<std::string>& words) {
  Field settled = Field::unknown;
  for (const std::string& word : words) {
    const Field field = field_of_word(word);
    if (field == Field::not_used) return field;
    if (field == Field::uncertainty || field == Field::launch_power) settled = field;
    if (settled == Field::unknown) settled = field;
  }
  return settled;
}

bool is_power_unit(Unit unit) {
  return unit == Unit::dbm || unit == Unit::mw || unit == Unit::uw || unit == Unit::nw;
}
bool is_length_unit(Unit unit) { return unit == Unit::m || unit == Unit::km || unit == Unit::ft; }
bool is_wavelength_unit(Unit unit) { return unit == Unit::nm || unit == Unit::um; }

/// A field whose meaning the unit decides: "source_nm" is a wavelength, not the name of a source.
Field named_by_unit(Field field, Unit unit) {
  if (field == Field::source && is_wavelength_unit(unit)) return Field::wavelength;
  if (field == Field::meter && is_wavelength_unit(unit)) return Field::meter_setting;
  if (field == Field::value && unit == Unit::db) return Field::loss;
  if (field == Field::value && is_power_unit(unit)) return Field::power;
  return field == Field::value ? Field::unknown : field;
}

/// Whether values of the field can be in the unit. A name, a count or a choice has none.
bool can_be_in(Field field, Unit unit) {
  if (field == Field::power || field == Field::launch_power || field == Field::reference)
    return is_power_unit(unit);
  if (field == Field::loss || field == Field::limit || field == Field::uncertainty) return unit == Unit::db;
  if (field == Field::length) return is_length_unit(unit);
  return (field == Field::wavelength || field == Field::meter_setting) && is_wavelength_unit(unit);
}

/// Field after the unit had its say: "Loss (dBm)" is a contradiction.
Field settled_by_unit(Field field, Unit unit) {
  const Field named = named_by_unit(field, unit);
  if (unit == Unit::none || named == Field::unknown) return named;
  return can_be_in(named, unit) ? named : Field::not_used;
}

/// A lone capital U is the expanded uncertainty of the GUM, small u the standard one.
bool names_expanded(std::string_view heading, const std::vector<std::string>& words) {
  const std::string key = joined_words(words);
  if (key.find("expanded") != std::string::npos || key.find("erweitert") != std::string::npos ||
      key.find("elargie") != std::string::npos || key.find("expandida") != std::string::npos ||
      key.find("k2") != std::string::npos)
    return true;
  for (std::size_t i = 0; i < heading.size(); ++i) {
    const bool alone =
        (i == 0 || !is_letter(heading[i - 1])) && (i + 1 == heading.size() || !is_letter(heading[i + 1]));
    if (heading[i] == 'U' && alone) return true;
  }
  return false;
}

}  // namespace

HeadingMeaning meaning_of_heading(std::string_view heading) {
  HeadingReader reader(heading);
  HeadingMeaning& meaning = reader.meaning;
  if (reader.rest.empty()) {
    meaning.field = field_of_unit(meaning);
    return meaning;
  }
  const std::string key = joined_words(reader.rest);
  auto synonym = synonym_of(key);
  if (!synonym && meaning.unit == Unit::none) synonym = without_unit_suffix(key, meaning.unit);
  meaning.rank = synonym ? synonym->rank : 0;
  meaning.field = settled_by_unit(synonym ? synonym->field : field_of_words(reader.rest), meaning.unit);
  if (meaning.several_wavelengths) meaning.field = Field::not_used;
  meaning.expanded = meaning.field == Field::uncertainty && names_expanded(heading, reader.rest);
  return meaning;
}

bool is_partial(const HeadingMeaning& meaning) {
  return meaning.field == Field::unknown && (meaning.wavelength_nm != 0 || meaning.direction.has_value());
}

}  // namespace strandbook
