#pragma once
// Which position of an array's far end is reached from which of its near end: the maps that cords, trunks and
// adapters are sold with, their composition, and a traced array held against the map that was wanted.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/verdict/outcome.hpp"

namespace strandbook {

/// Near position → far position, both counted from 1 with the key of each end up. One far position for each
/// near position in use, no far position twice.
using LaneMap = std::map<int, int>;

enum class ArrayPart { array, adapter };

/// A map that parts are made to. `fibres` are in use out of `positions` in the ferrule: 8 of 12, 24 of 24.
struct ArrayType {
  ArrayPart part = ArrayPart::array;
  std::string name;  ///< "A", "B", "C"
  int fibres = 0;
  int positions = 0;
  LaneMap map;
  RuleRef source;
};

/// One part of a channel: "adapter B", "array C".
struct ChannelPart {
  ArrayPart part = ArrayPart::array;
  std::string type;
};

/// A way to build a channel that keeps transmit on receive: "B", "U2".
struct ChannelMethod {
  std::string name;
  std::vector<ChannelPart> parts;  ///< between the ports, in the order in which light meets them
  std::string cords;               ///< duplex cords that it takes
  std::string not_known;           ///< what must not be said of it because nobody has read it; may be empty
  RuleRef source;
};

struct ArrayMaps {
  std::vector<ArrayType> types;
  std::vector<ChannelMethod> methods;
};

/// Where light ends that enters the first part, position by position. Positions that no later part has are
/// left out. No parts: an empty map.
LaneMap composed(const std::vector<LaneMap>& parts);

/// What an array should be, end to end.
struct WantedMap {
  std::string name;  ///< "type B", "method U2", or a chain as the person gave it
  LaneMap map;
  std::vector<RuleRef> sources;
  std::string cords;      ///< of a method
  std::string not_known;  ///< of a method
};

/// "B" or "type B" is a cord or trunk, "method B" or "U1" a channel, "adapter A + B + adapter A" a chain.
/// `fibres`: 8, 12, 16 or 24 in use.
Result<WantedMap> wanted_map(const ArrayMaps& maps, const std::string& name, int fibres);

/// A near position as it was traced: the far position that its light came out of, or none (dark).
struct TracedLane {
  int near = 0;
  std::optional<int> far;
};
using TracedLanes = std::vector<TracedLane>;

/// How many fibres the array seems to have: of the arrays with all positions in use, the smallest that holds
/// as many positions as were traced and has room for all of them but one, which may be a slip of the pen.
/// The largest where none is large enough.
int fibres_of(const TracedLanes& lanes, const ArrayMaps& maps);

/// A position that does not end where the type says.
struct Deviation {
  int near = 0;
  int far = 0;     ///< found
  int wanted = 0;  ///< by the type it is compared with
};

struct MapJudgement {
  Outcome outcome = Outcome::not_tested;
  int fibres = 0;
  int positions = 0;
  LaneMap found;
  std::string recognised;             ///< type whose map it has in every position that was traced
  bool complete = false;              ///< every position in use was traced and showed light
  std::string compared;               ///< type that the deviations are counted from
  std::vector<Deviation> deviations;  ///< the fewest from any type, the wanted one first
  std::vector<int> dark;
  std::vector<int> missing;
  std::vector<std::string> reasons;  ///< sentences for the person, at least one
};

/// Invalid where the record contradicts itself; fail where a position traced is not where the wanted map has
/// it; not tested where positions are missing or dark, or nothing was wanted; else pass. Fails where no map
/// of so many fibres is known.
Result<MapJudgement> judge_map(const TracedLanes& lanes, int fibres, const std::optional<WantedMap>& wanted,
                               const ArrayMaps& maps);

/// "3", "3 and 4", "1, 2 and 5", "5 to 8".
std::string listed(const std::vector<int>& positions);

/// "near 3 and 4 exchanged", "near 2, 5 and 6 on one another's places", "near 7 ends at 9".
std::vector<std::string> describe(const std::vector<Deviation>& deviations);

std::string_view text_of(ArrayPart part);  // "array", "adapter"

}  // namespace strandbook
