#pragma once
// Decimal sign of a sheet, decided by proof, and the numbers read with it.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "edge/exchange/cell_number.hpp"
#include "edge/exchange/cell_value.hpp"
#include "edge/exchange/grid.hpp"

namespace strandbook {

/// Columns of numbers on a sheet, from the first row of data on.
struct NumberColumns {
  const Grid* grid = nullptr;
  std::size_t first_row = 0;
  std::vector<std::size_t> columns;
};

/// A number as its cell wrote it.
struct WrittenNumber {
  double value = 0;
  int decimals = 0;
};

/// A cell that is beyond doubt by itself ("3,92", "1.250,5") is read as it stands. One that has two readings
/// ("1.250", "1,250") follows what the rest of the sheet proves. Where the sheet proves both signs it is
/// unusable. Where nothing is proved, '.' is the decimal sign; a lone ',' is too if ';' parts the cells.
class NumberSense {
 public:
  explicit NumberSense(NumberColumns where);
  /// `text` is trimmed and not blank.
  Cell<double> read(std::string_view text) {
    if (!comma_) {
      const std::optional<double> fast = read_plain_number(text);
      if (fast) return Cell<double>::of(*fast);
    }
    return as_value(read_written(text));
  }
  Cell<WrittenNumber> read_written(std::string_view text);
  /// How the sign was decided, for an ImportNote; empty where no cell has one.
  std::string note() const;

 private:
  struct Proof {
    std::size_t row = 0;
    std::string text;
  };
  static Cell<double> as_value(const Cell<WrittenNumber>& written) {
    return {written.state, written.value.value, written.wanted, written.advice};
  }
  void search(std::size_t from_row);
  bool note_proof(std::size_t row, std::string_view text);
  Cell<WrittenNumber> settle(const Numeral& numeral);
  NumberColumns where_;
  std::optional<Proof> point_;
  std::optional<Proof> comma_;
  std::size_t searched_to_ = 0;
  bool semicolons_ = false;
};

}  // namespace strandbook
