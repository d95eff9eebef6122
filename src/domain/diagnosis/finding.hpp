#pragma once
// A probable cause with its evidence and the next step. Shown by assess, the book, the report.

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "domain/diagnosis/judged_traces.hpp"
#include "domain/problem/problem.hpp"
#include "domain/verdict/assessment.hpp"

namespace strandbook {

using EvidenceValue = std::variant<double, std::string>;

/// How much hangs on a finding.
enum class Weight : std::uint8_t {
  stop,  ///< readings are void, or outcomes wrong: settle it before the next strand
  look,  ///< something is probably wrong with what was measured
  note,  ///< a gap in the record, nothing shown to be wrong
};
std::string_view text_of(Weight weight);  // "stop", "look", "note"

/// Data of a small picture: points, those concerned marked, and levels drawn across.
struct Picture {
  enum class Kind : std::uint8_t {
    series,   ///< x is the order in time
    pairs,    ///< x and y are two losses of one strand, dB
    offsets,  ///< x is the position in the group
  };
  struct Point {
    double x = 0;
    double y = 0;
    bool marked = false;
  };
  struct Level {
    double from = 0;
    double to = 0;
    double y = 0;
  };
  Kind kind = Kind::offsets;
  std::string x_name;
  std::string y_name;
  std::vector<Point> points;  ///< at most most_points of them
  std::vector<Level> levels;
  static constexpr std::size_t most_points = 240;
};
std::string_view text_of(Picture::Kind kind);  // "series", "pairs", "offsets"

/// One action of the plan. Actions stand in the order in which they find the cause soonest on average.
struct NextStep {
  std::string action;  ///< stable key: "clean-inspect", "re-reference", ...
  std::string cause;   ///< what it settles
  double share = 0;    ///< how often this cause is the one
  double minutes = 0;
};

struct Finding {
  std::string id;    ///< "F1", "F2", ... in order of work at stake
  std::string kind;  ///< stable key: "reference-disproved", "loss-sign", "bend", ...
  Weight weight = Weight::look;
  std::string summary;
  std::vector<std::pair<std::string, EvidenceValue>> evidence;
  std::vector<std::uint32_t> tests;  ///< indices into Assessment::tests, ascending
  std::string advice;
  std::string caution;  ///< empty where the step has no danger of its own
  /// Chance that a job in which nothing is wrong shows this anywhere; empty where no chance is involved.
  std::optional<double> chance;
  std::vector<NextStep> steps;
  std::optional<Picture> picture;
  std::string about;  ///< what it concerns beyond its kind: keeps its key the same from one look to the next
};

/// How a file was understood, shown to the person: "day-first, proved by row 3 (13/04/2026)".
struct ImportNote {
  std::string file;
  std::string sheet;
  std::string text;
};

/// Everything a job comes to: what the terminal, the JSON, the report and the screens show.
struct JudgedJob {
  std::string name;
  Assessment assessment;
  std::vector<JudgedTraces> traces;
  std::vector<Finding> findings;
  std::vector<Problem> unread_rows;  ///< rows kept but not used, each with its place
  std::vector<ImportNote> notes;
};

}  // namespace strandbook
