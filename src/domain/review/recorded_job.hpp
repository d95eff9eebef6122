#pragma once
// What was recorded of a job's tests, whatever it was read from: enough to hold two of them against each
// other.

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "domain/verdict/assessment.hpp"

namespace strandbook {

struct RecordedTest {
  std::string link;
  std::string strand;
  Nanometres wavelength;
  std::optional<Direction> direction;
  std::optional<Decibels> loss;
  Decibels uncertainty;  ///< u (k = 1) of the loss
  Decibels shared;       ///< the part of u that all readings under one reference share
  std::optional<Decibels> limit;
  Outcome outcome = Outcome::not_tested;
  std::string reference;  ///< its name; may be empty
  std::string time;       ///< as recorded, ISO 8601; may be empty
};

struct RecordedJob {
  std::string name;
  std::string source;  ///< the path it was read from
  GuardBand guard = GuardBand::none;
  std::vector<RecordedTest> tests;
};

/// The tests of a judged job.
RecordedJob recorded_of(const Assessment& all);

}  // namespace strandbook
