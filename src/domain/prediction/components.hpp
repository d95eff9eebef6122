#pragma once
// What the parts of a link lose as they are usually built, and how long tests take: statistics, never limits.

#include <string>
#include <vector>

#include "domain/applications/connector_grade.hpp"
#include "domain/diagnosis/practice.hpp"

namespace strandbook {

struct SpliceStatistics {
  FibreMode mode = FibreMode::single_mode;
  Decibels mean;
  Decibels deviation;  ///< standard deviation between splices
  RuleRef source;
};

/// Times and people of a test day, each replaceable by a crew's own.
struct TestTimes {
  Sourced<double> link_minutes;       ///< to reach both ends of a link and open them
  Sourced<double> strand_minutes;     ///< to inspect, clean and connect one strand, once for each direction
  Sourced<double> reading_minutes;    ///< for one reading of a connected strand
  Sourced<double> reference_minutes;  ///< to take the references of one session, closing check included
  Sourced<double> session_hours;      ///< work under one reference
  Sourced<double> retest_minutes;     ///< to clean, inspect and read a strand that failed once more
  Sourced<double> day_hours;          ///< working hours of a day
  Sourced<double> people;             ///< of one crew
};

struct ComponentStatistics {
  ConnectorGrades grades;
  Sourced<std::string> multimode_grade;    ///< of the connections, where nothing else is said
  Sourced<std::string> single_mode_grade;  ///< likewise
  /// Loss of a random plug against a reference plug, as a share of that against a random one.
  Sourced<double> reference_plug_share;
  std::vector<AttenuationGrade> reference_joins;  ///< reference plug against reference plug, by mode
  std::vector<SpliceStatistics> splices;          ///< by mode
  std::vector<TypicalAttenuation> attenuation;
  Sourced<double> least_probability;  ///< of a design that may be built as it is
  TestTimes times;
};

}  // namespace strandbook
