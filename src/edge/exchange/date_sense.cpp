#include "edge/exchange/date_sense.hpp"

#include <fmt/format.h>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {

DateSense::DateSense(DateColumns where, DateOrder order) : where_(std::move(where)), order_(order) {}

Cell<Instant> DateSense::read(std::string_view text, std::size_t row) {
  if (text == last_text_ && last_.has_value()) return last_;
  if (says_nothing(text)) return {};
  const std::optional<WrittenMoment> written = read_moment(text);
  if (!written)
    return Cell<Instant>::unusable("a date or time, such as 2026-04-05 08:12", "correct the cell");
  last_ = settle(*written, text, row);
  last_text_.assign(text);
  return last_;
}

Cell<Instant> DateSense::settle(const WrittenMoment& written, std::string_view text, std::size_t row) {
  const bool open = written.pattern == DatePattern::either_order;
  if (open && order_ == DateOrder::by_proof) search();
  if (!open || order_ == DateOrder::day_first) return Cell<Instant>::of(written.day_first);
  if (order_ == DateOrder::month_first) return Cell<Instant>::of(written.month_first);
  if (day_first_.has_value() != month_first_.has_value())
    return Cell<Instant>::of(day_first_ ? written.day_first : written.month_first);
  if (!first_open_) first_open_ = Proof{row, std::string(text)};
  ++open_;
  return {};
}

void DateSense::search() {
  if (searched_) return;
  searched_ = true;
  for (std::size_t row = where_.first_row; row < where_.grid->rows(); ++row) {
    for (const std::size_t column : where_.columns) {
      const std::string_view text = trimmed(where_.grid->cell(row, column));
      if (text.size() < 6) continue;
      const auto written = read_moment(text);
      if (!written) continue;
      if (written->pattern == DatePattern::day_first && !day_first_)
        day_first_ = Proof{row, std::string(text)};
      if (written->pattern == DatePattern::month_first && !month_first_)
        month_first_ = Proof{row, std::string(text)};
    }
  }
}

std::string DateSense::note() const {
  const auto proof = [](const Proof& p) { return fmt::format("row {} ({})", p.row + 1, p.text); };
  if (day_first_ && month_first_)
    return fmt::format("dates: {} is day first, {} is month first; dates that fit both are left out",
                       proof(*day_first_), proof(*month_first_));
  if (day_first_) return fmt::format("dates are day first, proved by {}", proof(*day_first_));
  if (month_first_) return fmt::format("dates are month first, proved by {}", proof(*month_first_));
  if (open_ > 0)
    return fmt::format("dates such as {} may be day first or month first: readings kept without their date",
                       first_open_->text);
  return {};
}

std::optional<Problem> DateSense::open_question(const std::string& heading) const {
  if (open_ == 0) return std::nullopt;
  Place at = where_.grid->place(first_open_->row);
  at.column = heading;
  return Problem{
      at, fmt::format("{} (and {} more cells like it)", first_open_->text, open_ - 1),
      "a date in one order only, such as 2026-04-13",
      "rows are kept without their date: state day first or month first, or write dates as 2026-04-13"};
}

}  // namespace strandbook
