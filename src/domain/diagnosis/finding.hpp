#pragma once
// A probable cause with its evidence and the next step. Shown by assess, the book, the report.

#include <cstdint>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "domain/problem/problem.hpp"
#include "domain/verdict/assessment.hpp"

namespace strandbook {

using EvidenceValue = std::variant<double, std::string>;

struct Finding {
  std::string id;    ///< "F1", "F2", ... in order of work at stake
  std::string kind;  ///< stable key: "reference-disproved", "loss-sign", "drift", "duplicate-readings", ...
  std::string summary;
  std::vector<std::pair<std::string, EvidenceValue>> evidence;
  std::vector<std::uint32_t> tests;  ///< indices into Assessment::tests
  std::string advice;
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
  std::vector<Finding> findings;
  std::vector<Problem> unread_rows;  ///< rows kept but not used, each with its place
  std::vector<ImportNote> notes;
};

}  // namespace strandbook
