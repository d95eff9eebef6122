#pragma once
// Sentences of the report about a judged job.

#include <string>
#include <string_view>
#include <vector>

#include "domain/readings/uncertainty.hpp"
#include "edge/report/reported_job.hpp"
#include "edge/report/wording.hpp"

namespace strandbook {

/// What the job comes to, in one or two sentences.
std::string verdict_of(const Assessment& all, const Wording& words);
/// What a part of a job is: "building H01; operator R.".
std::string scope_text(const Scope& scope, const Wording& words);
/// How much of the job the report leaves out: "12 of 40 links, 180 of 600 strands, 540 of 1848 tests".
std::string left_out_text(const PartOfJob& part, const ReportedJob& view, const Wording& words);
/// What an outcome word means under the decision rule of the job.
std::string_view meaning_of(Outcome outcome, GuardBand guard);
/// The decision rule in words and formula, sentence by sentence: the rule itself, its four lines where it has
/// them, and what holds for both.
struct DecisionRuleText {
  std::string rule;
  std::vector<std::pair<Outcome, std::string>> lines;
  std::vector<std::string> remarks;
};
DecisionRuleText decision_rule_of(GuardBand guard);
/// Why the tests of a group are no pass.
std::string reason_of(const Assessment& all, const ExceptionGroup& group, const Wording& words);
/// A Problem that needs no place: "Expected the length in metres. ..."
std::string sentence_of(const Problem& problem, const Wording& words);
/// What to do about them.
std::string_view next_step_of(const ExceptionGroup& group);
/// "one-cord reference: the end connections are in the reading" and the like.
std::string_view meaning_of(ReferenceMethod method);
/// "dB", "dB per dB", "dB per km".
std::string_view unit_of(Scale scale);
/// "ANSI/TIA-568.3-E:2022".
std::string document_of(const RuleRef& source);
/// "ISO/IEC 14763-3:2024, limit table (seen in extract)".
std::string source_text(const RuleRef& source, const Wording& words);
/// "own:hall — Hall backbone (owner's specification:1)".
std::string title_of(const RuleSet& rule, const Wording& words);

/// "-12.34 dBm", "0.48 dB", "no light": what was read.
std::string value_text(const Reading& reading, const Wording& words);

}  // namespace strandbook
