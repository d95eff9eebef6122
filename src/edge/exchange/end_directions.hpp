#pragma once
// Direction of a reading that names its ends, told by the schedule's ends of the strand.

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "domain/link/link.hpp"
#include "domain/plan/schedule.hpp"
#include "domain/plan/strand_index.hpp"

namespace strandbook {

/// "TR2->TR1" taken apart; empty parts where there is no arrow or word between.
struct NamedEnds {
  std::string_view from;
  std::string_view to;
};
NamedEnds split_ends(std::string_view text);

class EndDirections {
 public:
  /// `schedule` may be null: then only ends that are called A and B are understood. It must outlive this.
  explicit EndDirections(const Schedule* schedule);
  /// One of `from` and `to` may be empty. Ends are compared without case and blanks. Nothing where the
  /// schedule does not settle it.
  std::optional<Direction> find(std::string_view link, std::string_view strand, NamedEnds ends);

 private:
  std::optional<Direction> look_up(std::string_view link, std::string_view strand, NamedEnds ends);
  const Schedule* schedule_;
  std::unique_ptr<StrandIndex> index_;
  std::unique_ptr<NameGuesser> guesser_;
  std::string last_key_;
  std::optional<Direction> last_;
};

}  // namespace strandbook
