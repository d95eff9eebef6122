#include "edge/exchange/number_sense.hpp"

#include <fmt/format.h>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

/// The first numeral in a cell that may hold a unit too: "1.250,5 m" -> "1.250,5".
std::string_view leading_numeral(std::string_view text) {
  std::size_t end = 0;
  while (end < text.size() && (is_digit(text[end]) || text[end] == '.' || text[end] == ',' ||
                               text[end] == '-' || text[end] == '+' || text[end] == '\''))
    ++end;
  // A cell that goes on with letters right after a ',' or digits ("1,2OO") is a misprint and proves nothing;
  // units come after a blank or right after the digits ("3.5dB"), so only letter O and l are suspect.
  if (end < text.size() && (text[end] == 'O' || text[end] == 'o' || text[end] == 'l' || text[end] == 'I'))
    return {};
  return text.substr(0, end);
}

}  // namespace

NumberSense::NumberSense(NumberColumns where) : where_(std::move(where)) {
  semicolons_ = where_.grid->how_read.find("';'") != std::string::npos;
  searched_to_ = where_.first_row;
  search(where_.first_row);
}

/// Walks down to the first row that proves something; a second call goes on from there to the end.
void NumberSense::search(std::size_t from_row) {
  const bool to_the_end = from_row != where_.first_row;
  for (std::size_t row = from_row; row < where_.grid->rows(); ++row) {
    bool proved = false;
    for (const std::size_t column : where_.columns)
      proved = note_proof(row, leading_numeral(trimmed(where_.grid->cell(row, column)))) || proved;
    searched_to_ = row + 1;
    if (proved && !to_the_end) return;
  }
}

bool NumberSense::note_proof(std::size_t row, std::string_view text) {
  if (text.find_first_of(".,") == std::string_view::npos) return false;
  const NumeralForm form = read_numeral(text).form;
  if (form != NumeralForm::point && form != NumeralForm::comma) return false;
  std::optional<Proof>& proof = form == NumeralForm::point ? point_ : comma_;
  if (!proof) proof = Proof{row, std::string(text)};
  return true;
}

Cell<WrittenNumber> NumberSense::read_written(std::string_view text) {
  const Numeral numeral = read_numeral(text);
  switch (numeral.form) {
    case NumeralForm::not_a_number:
      return Cell<WrittenNumber>::unusable("a number", number_advice(text));
    case NumeralForm::plain:
    case NumeralForm::point:
    case NumeralForm::comma:
      return Cell<WrittenNumber>::of({numeral.value, numeral.decimals});
    case NumeralForm::point_or_group:
    case NumeralForm::comma_or_group:
      return settle(numeral);
  }
  return Cell<WrittenNumber>::unusable("a number");
}

Cell<WrittenNumber> NumberSense::settle(const Numeral& numeral) {
  using Written = Cell<WrittenNumber>;
  if (searched_to_ < where_.grid->rows()) search(searched_to_);
  const bool by_point = numeral.form == NumeralForm::point_or_group;
  if (point_ && comma_)
    return Written::unusable(
        "one decimal sign throughout the file",
        "the file uses both '.' and ',' as decimal sign: write this number without doubt");
  if (!point_ && !comma_ && !by_point && !semicolons_)
    return Written::unusable("a number that can be read in one way only",
                             "1,250 may be 1.25 or 1250, and no other cell settles it: write 1.25 or 1250");
  const bool decimal_here = by_point ? !comma_.has_value() : (comma_.has_value() || (semicolons_ && !point_));
  return decimal_here ? Written::of({numeral.value, numeral.decimals})
                      : Written::of({numeral.grouped_value, 0});
}

std::string NumberSense::note() const {
  const auto proof = [](const Proof& p) { return fmt::format("row {} ({})", p.row + 1, p.text); };
  if (point_ && comma_)
    return fmt::format("decimal point by {}, decimal comma by {}: each number is read as it stands",
                       proof(*point_), proof(*comma_));
  if (comma_) return fmt::format("decimal comma, proved by {}", proof(*comma_));
  if (point_) return fmt::format("decimal point, proved by {}", proof(*point_));
  return {};
}

}  // namespace strandbook
