#pragma once
// What an owner demands besides the limit of a link: what is tested and how, what is decided near the limit,
// what is recorded, in which form and by when it is handed over. A rule set says what a link may lose; a
// profile names one, or brings its own. Every demand carries its source.

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/rulebook/decision_rule.hpp"
#include "domain/rulebook/record_field.hpp"
#include "domain/rulebook/rule_set.hpp"
#include "domain/rulebook/splice_demand.hpp"
#include "domain/units/length_unit.hpp"

namespace strandbook {

/// Least return loss of a connection, dB, positive.
struct ReturnLossDemand {
  FibreMode mode;
  DirectionDemand directions = DirectionDemand::either;
  Sourced<Decibels> least;
};

/// Beyond this length only the wavelengths listed count; others are read for information.
struct LongSpanDemand {
  Sourced<Metres> above;
  std::vector<Nanometres> counted;
};

/// Group index that a trace must be taken with.
struct IndexDemand {
  Nanometres wavelength;
  Sourced<double> index;
};

/// How traces are taken. What is empty is left to the person.
struct OtdrDemand {
  std::optional<Sourced<std::vector<Nanometres>>> wavelengths;
  std::optional<Sourced<DirectionDemand>> directions;
  std::optional<Sourced<Metres>> launch_cord_least;
  std::optional<Sourced<double>> launch_cord_dead_zone;  ///< per cent of the dead zone, at least
  std::optional<Sourced<double>> pulse_most;             ///< ns
  std::optional<Sourced<Decibels>> smallest_event;       ///< that must be shown
  std::optional<Sourced<double>> averages_least;
  std::optional<Sourced<Metres>> range_most;
  std::vector<IndexDemand> indices;
};

/// Under which circumstances a test counts.
enum class TestCondition { closures_shut, every_strand, respliced_strands_too };

/// What is put into the owner's hands.
enum class HandoverForm {
  original_records,  ///< files of the instruments, untouched
  trace_files,       ///< in the standard trace exchange format
  spreadsheet,       ///< or a database
  pdf_list,          ///< all strands with their values
  paper,
  signed_sheet,             ///< on letterhead
  reading_program,          ///< that opens the files
  calibration_certificate,  ///< a copy
  test_procedure,           ///< before the work
  text_export
};

inline constexpr std::array every_handover_form{HandoverForm::original_records,
                                                HandoverForm::trace_files,
                                                HandoverForm::spreadsheet,
                                                HandoverForm::pdf_list,
                                                HandoverForm::paper,
                                                HandoverForm::signed_sheet,
                                                HandoverForm::reading_program,
                                                HandoverForm::calibration_certificate,
                                                HandoverForm::test_procedure,
                                                HandoverForm::text_export};

enum class RetestRule {
  action_before_repeat,           ///< a repeat without something done in between does not count
  replace_at_contractors_cost,    ///< what cannot be repaired
  owner_may_retest,               ///< differences are settled first
  failure_may_refuse_whole_cable  ///< one strand may cost it
};

enum class DayCount { calendar, working };

std::string_view text_of(TestCondition condition);  // "closures shut", ...
std::string_view text_of(HandoverForm form);        // "original records", ...
std::optional<HandoverForm> parse_handover_form(std::string_view text);
std::string_view text_of(RetestRule rule);  // "action before a repeat", ...
std::string_view text_of(DayCount count);   // "calendar days", "working days"

struct HandoverDemand {
  HandoverForm form;
  int copies = 1;
  RuleRef source;
};

struct DayLimit {
  int days = 0;
  DayCount count = DayCount::calendar;
  RuleRef source;
};

struct OwnerProfile {
  std::string id;  ///< "owner:NAME" as shipped, "own-owner:NAME" for one of the job's own
  std::string title;
  std::string kind;      ///< of owner: "city traffic works"; never a name
  std::string document;  ///< what the demands were read in, in neutral words
  std::string edition;
  std::string note;
  std::string rule;                 ///< id of the rule set; empty where the owner names none
  std::optional<RuleSet> own_rule;  ///< the owner's own numbers; `rule` is then its id

  std::vector<DemandRow> demands;  ///< wavelengths and directions, each mode once
  std::optional<DecisionRule> decision;
  std::optional<RuleRef> mean_of_directions;  ///< set where it must be stated
  /// To be checked against the records, never taken in their place.
  std::optional<Sourced<ReferenceMethod>> reference_method;
  std::vector<Sourced<TestCondition>> conditions;
  std::vector<Sourced<BuildStage>> stages;
  std::optional<LongSpanDemand> long_spans;

  std::vector<SpliceDemand> splices;
  std::optional<Sourced<double>> splices_per_km_most;
  std::vector<ReturnLossDemand> return_loss;
  std::optional<Sourced<double>> reel_deviation_most;  ///< per cent of the maker's record
  std::optional<OtdrDemand> otdr;

  std::vector<Sourced<RecordField>> records;  ///< each field once
  std::optional<Sourced<LengthUnit>> length_unit;
  std::optional<Sourced<int>> calibration_months_most;  ///< age of a calibration on the day of the test
  std::vector<HandoverDemand> handover;
  std::vector<Sourced<HandoverForm>> refused_forms;
  std::optional<DayLimit> notice;          ///< before the test
  std::optional<DayLimit> results_within;  ///< after the test
  std::optional<Sourced<int>> records_kept_years;
  std::vector<Sourced<RetestRule>> retest;
  std::vector<Sourced<std::string>> in_words;  ///< what no other member can say: for a person to read
};

/// The decision rule of the profile, or what holds where it has none.
DecisionRule decision_of(const OwnerProfile& profile);
/// Null where the owner does not want it recorded.
const RuleRef* record_wanted(const OwnerProfile& profile, RecordField field);

}  // namespace strandbook
