#pragma once
// What an inspection saw on the end faces of connectors, zone by zone, against the counts that are allowed.
// The outcome stands beside that of the loss: a good loss does not outvote a bad end face.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "domain/units/units.hpp"
#include "domain/verdict/outcome.hpp"

namespace strandbook {

/// What the limits are for; single-mode physical contact is the kind with a return loss of 45 dB or more.
enum class EndFaceKind { multimode, single_mode, single_mode_apc };
/// From the middle outwards: zones A, B, C, D.
enum class EndFaceZone { core, cladding, adhesive, contact };
/// A scratch is long and narrow; its size is its width. The size of any other defect is its diameter.
enum class FaceMark { scratch, defect };

/// Sizes from the band before up to `upper`, and how many of them are allowed.
struct SizeBand {
  std::optional<Micrometres> upper;  ///< none: all larger ones
  bool with_upper = true;            ///< a mark of exactly that size belongs to this band
  std::optional<int> allowed;        ///< none: any number
};
/// "up to 3 µm", "below 2 µm", "2 to 5 µm", "above 5 µm", "any size"
std::string words_of_band(const std::vector<SizeBand>& bands, std::size_t band);

struct ZoneLimit {
  EndFaceKind kind = EndFaceKind::multimode;
  EndFaceZone zone = EndFaceZone::core;
  FaceMark mark = FaceMark::scratch;
  std::vector<SizeBand> bands;  ///< by rising size, the last without an upper end
  RuleRef source;
};
/// Where a zone lies: a ring between two diameters.
struct ZoneRing {
  FibreMode mode = FibreMode::multimode;
  EndFaceZone zone = EndFaceZone::core;
  Micrometres inner;
  Micrometres outer;
  RuleRef source;
};
struct EndFaceLimits {
  std::vector<ZoneLimit> limits;
  std::vector<ZoneRing> rings;
};

/// One or several marks of the same size. `own_limit`: the largest that the site allows there.
struct SeenMark {
  FaceMark mark = FaceMark::defect;
  EndFaceZone zone = EndFaceZone::core;
  Micrometres size;
  int count = 1;
  std::optional<Micrometres> own_limit;
};

/// A site's own limit for all marks in a zone.
struct OwnZoneLimit {
  EndFaceZone zone = EndFaceZone::core;
  Micrometres most;
};

struct InspectedFace {
  std::string link;  ///< that it belongs to; may be empty
  std::string face;
  std::optional<EndFaceKind> kind;
  bool inspected = true;            ///< false: said not to be; marks prove the contrary
  std::vector<SeenMark> marks;      ///< none: the face is clean
  std::vector<std::string> unread;  ///< why part of the record cannot be used: the face can then not pass
};

/// One count of a zone: allowed and found.
struct ZoneCount {
  EndFaceZone zone = EndFaceZone::core;
  FaceMark mark = FaceMark::scratch;
  std::string band;
  std::optional<int> allowed;  ///< none: any number
  int found = 0;
  bool holds = true;
  RuleRef source;
};

struct FaceJudgement {
  Outcome outcome = Outcome::not_tested;
  std::vector<ZoneCount> counts;     ///< all that the limits speak of, by zone, then scratches before defects
  std::vector<std::string> reasons;  ///< sentences; at least one
};

/// Fail where a count is exceeded; invalid where a mark has no limit (the kind is not known and the site set
/// none) or the record is only read in part; not tested where nobody looked; else pass. Own limits are
/// judged beside the published ones.
FaceJudgement judge_face(const InspectedFace& face, const EndFaceLimits& limits,
                         std::span<const OwnZoneLimit> own);

std::string_view text_of(EndFaceKind kind);  // "multimode", "single-mode", "single-mode-apc"
std::string_view text_of(EndFaceZone zone);  // "A", "B", "C", "D"
std::string_view name_of(EndFaceZone zone);  // "core", "cladding", "adhesive", "contact"
std::string_view text_of(FaceMark mark);     // "scratch", "defect"
std::optional<EndFaceKind> parse_end_face_kind(std::string_view text);

}  // namespace strandbook
