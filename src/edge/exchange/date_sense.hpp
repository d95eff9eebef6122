#pragma once
// Order of day and month on a sheet, decided by proof, and the moments read with it.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/exchange/cell_time.hpp"
#include "edge/exchange/cell_value.hpp"
#include "edge/exchange/grid.hpp"
#include "edge/exchange/table_import.hpp"

namespace strandbook {

/// Columns of dates on a sheet, from the first row of data on.
struct DateColumns {
  const Grid* grid = nullptr;
  std::size_t first_row = 0;
  std::vector<std::size_t> columns;
};

/// Reads moments. Dates that only an order settles ("03/04/2026") follow the person's choice, else the first
/// date on the sheet that proves an order ("13/04/2026"); where nothing proves it, or both orders are proved,
/// they are left out and counted.
class DateSense {
 public:
  DateSense(DateColumns where, DateOrder order);
  /// `text` is trimmed. Blank where it is blank or its order is open.
  Cell<Instant> read(std::string_view text, std::size_t row);
  /// How the order was decided, for an ImportNote; empty where the question did not arise.
  std::string note() const;
  /// The one entry for all dates left out because of their order; nothing where there are none.
  std::optional<Problem> open_question(const std::string& heading) const;

 private:
  struct Proof {
    std::size_t row = 0;
    std::string text;
  };
  Cell<Instant> settle(const WrittenMoment& written, std::string_view text, std::size_t row);
  void search();
  DateColumns where_;
  DateOrder order_;
  bool searched_ = false;
  std::optional<Proof> day_first_;
  std::optional<Proof> month_first_;
  std::optional<Proof> first_open_;
  std::size_t open_ = 0;
  std::string last_text_;
  Cell<Instant> last_;
};

}  // namespace strandbook
