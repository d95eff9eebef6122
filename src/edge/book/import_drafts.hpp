#pragma once
// The facts of one import, one after the other, without holding them all.

#include <optional>

#include "edge/book/domain_facts.hpp"
#include "edge/book/recording.hpp"

namespace strandbook {

class RowDrafts {
 public:
  explicit RowDrafts(const RowsToAdd& rows) : rows_(rows) {}
  /// The next row; nothing after the last.
  std::optional<FactDraft> next(const RowOrigin& origin);

 private:
  const RowsToAdd& rows_;
  std::size_t strand_ = 0;
  std::size_t reference_ = 0;
  std::size_t reading_ = 0;
  std::size_t calibration_ = 0;
  std::size_t light_path_ = 0;
  std::size_t trace_ = 0;
  std::size_t unread_ = 0;
};

}  // namespace strandbook
