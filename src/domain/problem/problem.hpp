#pragma once
// How any part of strandbook says that it cannot: where, what was found, what is wanted, what to do.

#include <cassert>
#include <cstddef>
#include <string>
#include <utility>
#include <variant>

namespace strandbook {

/// Where something stands in a file that a person can open. Empty parts do not apply.
struct Place {
  std::string file;
  std::string sheet;
  std::size_t row = 0;  ///< 1-based as the person's program counts it; 0 = the whole file
  std::string column;   ///< heading, or letter where there is no heading
  bool operator==(const Place&) const = default;
};

/// "A", "B", ..., "Z", "AA": a column, counted from 1, as a spreadsheet names it; empty for 0.
std::string column_letters(std::size_t column);

/// An expected failure, worded for a technician.
struct Problem {
  Place at;
  std::string found;
  std::string wanted;
  std::string advice;
};

/// "schedule.csv, sheet Hall, row 7, column Length"; "input" where nothing is known.
std::string describe(const Place& at);

/// One line: place, what was found, what is wanted, what to do; parts that are empty are left out.
std::string describe(const Problem& problem);

/// A T, or the Problem that stood in the way. Asking for the part that is not there is our own mistake.
template <class T>
class [[nodiscard]] Result {
 public:
  // `return value;` and `return Problem{...};` must both read plainly.
  // NOLINTNEXTLINE(google-explicit-constructor)
  Result(T value) : held_(std::in_place_index<0>, std::move(value)) {}
  // NOLINTNEXTLINE(google-explicit-constructor)
  Result(Problem problem) : held_(std::in_place_index<1>, std::move(problem)) {}

  explicit operator bool() const { return held_.index() == 0; }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }
  T&& operator*() && { return std::move(value()); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }
  const Problem& problem() const {
    assert(held_.index() == 1);
    return *std::get_if<1>(&held_);
  }

 private:
  T& value() {
    assert(held_.index() == 0);
    return *std::get_if<0>(&held_);
  }
  const T& value() const {
    assert(held_.index() == 0);
    return *std::get_if<0>(&held_);
  }
  std::variant<T, Problem> held_;
};

/// The result of doing something that yields nothing but success.
struct Done {};

}  // namespace strandbook
