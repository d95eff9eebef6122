#pragma once
// A judged job put in the order of the report: by building, cable and link.

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/diagnosis/finding.hpp"

namespace strandbook {

/// Worst outcome of a strand's tests; nothing where no test is due.
using StrandOutcome = std::optional<Outcome>;

struct OutcomeCounts {
  std::array<std::size_t, 6> of{};
  std::size_t total = 0;
  void add(Outcome outcome);
  void add(const OutcomeCounts& other);
  std::size_t count(Outcome outcome) const { return of[static_cast<std::size_t>(outcome)]; }
};

/// A link with where its strands and tests stand in ReportedJob::strands and ReportedJob::tests.
struct LinkView {
  std::string building;
  std::string cable;
  std::string name;  ///< the cable's where links are not named
  std::size_t first_strand = 0;
  std::size_t strands = 0;
  std::size_t first_test = 0;
  std::size_t tests = 0;
  OutcomeCounts counts;
  std::uint32_t tightest = nothing;  ///< test with the least margin among those judged
};

struct ReportedJob {
  explicit ReportedJob(const JudgedJob& judged);

  const JudgedJob& job;
  const Assessment& all;
  std::vector<LinkView> links;          ///< in the order of the schedule
  std::vector<std::uint32_t> strands;   ///< indices into the schedule, link by link
  std::vector<std::uint32_t> tests;     ///< indices into Assessment::tests, link by link, strand by strand
  std::vector<std::uint32_t> link_of;   ///< per strand of the schedule
  std::vector<StrandOutcome> worst_of;  ///< per strand of the schedule

  std::span<const std::uint32_t> strands_of(const LinkView& link) const;
  std::span<const std::uint32_t> tests_of(const LinkView& link) const;
};

/// The limit a test was held to; null where there is none.
const Limit* limit_behind(const Assessment& all, const JudgedTest& test);
/// limit − loss of a test with a verdict; the number of an invalid one would mislead.
std::optional<Decibels> margin_of(const Assessment& all, const JudgedTest& test);
/// "A→B", "B→A", "either".
std::string_view arrow_of(const std::optional<Direction>& direction);
/// "BB-01 / 07".
std::string strand_title(const ScheduledStrand& strand);

/// Tests that are not a pass, under one outcome and one reason.
struct ExceptionGroup {
  Outcome outcome = Outcome::fail;
  Reason reason = Reason::none;
  std::uint32_t problem = nothing;  ///< into limit_problems, where the reason is that there is no limit
  std::vector<std::uint32_t> tests;
};
/// Gravest first: fail, conditional fail, invalid, conditional pass, not tested.
std::vector<ExceptionGroup> exceptions_of(const ReportedJob& view);

/// A number that some limit rests on.
struct UsedNumber {
  std::string term;
  Decibels each;
  RuleRef source;
  std::vector<double> wavelengths;  ///< nm, rising
  std::size_t tests = 0;
};
/// Every number behind the limits of the tests, by term, value and source.
std::vector<UsedNumber> used_numbers(const Assessment& all);

/// Tests with an outcome whose limit rests on a number from memory.
std::size_t tests_on_memory(const Assessment& all);

}  // namespace strandbook
