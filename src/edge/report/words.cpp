#include "edge/report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

std::string open_points(const Summary& summary, const Wording& words) {
  std::string text;
  for (const Outcome outcome : {Outcome::fail, Outcome::conditional_fail, Outcome::invalid,
                                Outcome::conditional_pass, Outcome::not_tested}) {
    const std::size_t count = summary.count(outcome);
    if (count == 0) continue;
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count_text(count), words.say(text_of(outcome)));
  }
  return text;
}

}  // namespace

std::string verdict_of(const Assessment& all, const Wording& words) {
  const Summary& summary = all.summary;
  const std::size_t passed = summary.count(Outcome::pass);
  if (summary.planned == 0)
    return words.say("No test was due, so nothing was judged and nothing is certified.");
  if (passed == summary.planned)
    return words.say(summary.planned == 1
                         ? std::string("All that was asked holds: 1 test due, and it passed.")
                         : fmt::format("All that was asked holds: {} tests due, and all passed.",
                                       count_text(summary.planned)));
  return words.say(fmt::format("Not all that was asked holds: {} of {} passed. Open: {}.", count_text(passed),
                               words.say(counted(summary.planned, "test")), open_points(summary, words)));
}

std::string scope_text(const Scope& scope, const Wording& words) {
  constexpr std::size_t most_named = 24;
  std::string text;
  const auto add = [&](const std::vector<std::string>& names, std::string_view kind) {
    if (names.empty()) return;
    text += (text.empty() ? "" : "; ") + words.say(kind) + " ";
    for (std::size_t i = 0; i < std::min(names.size(), most_named); ++i)
      text += (i == 0 ? "" : ", ") + names[i];
    if (names.size() > most_named)
      text += ", " + words.say(fmt::format("and {} more", count_text(names.size() - most_named)));
  };
  add(scope.buildings, "building");
  add(scope.panels, "panel");
  add(scope.cables, "cable");
  add(scope.links, "link");
  add(scope.operators, "operator");
  return text;
}

std::string left_out_text(const PartOfJob& part, const ReportedJob& view, const Wording& words) {
  const Extent& whole = part.whole;
  std::string text;
  const auto add = [&](std::size_t here, std::size_t all, std::string_view kind) {
    text += fmt::format("{}{} {} {}", text.empty() ? "" : ", ", count_text(all - std::min(here, all)),
                        words.say("of"), words.say(counted(all, kind)));
  };
  add(view.links.size(), whole.links, "link");
  add(view.all.schedule.size(), whole.strands, "strand");
  add(view.all.tests.size(), whole.tests.planned, "test");
  add(view.job.findings.size(), whole.findings, "finding");
  return text;
}

std::string_view meaning_of(Outcome outcome, GuardBand guard) {
  switch (outcome) {
    case Outcome::pass:
      return guard == GuardBand::none ? "loss at or below the limit" : "loss at or below the limit less U";
    case Outcome::conditional_pass:
      return "within the limit, yet nearer to it than U";
    case Outcome::conditional_fail:
      return "beyond the limit, by no more than U";
    case Outcome::fail:
      return guard == GuardBand::none ? "loss above the limit" : "beyond the limit by more than U";
    case Outcome::not_tested:
      return "due, but no reading was taken";
    case Outcome::invalid:
      return "measured, but the evidence cannot count";
  }
  return {};
}

DecisionRuleText decision_rule_of(GuardBand guard) {
  DecisionRuleText text;
  if (guard == GuardBand::none) {
    text.rule =
        "Simple acceptance, guard band w = 0: a test passes where loss \u2264 limit and fails where loss > "
        "limit. "
        "The uncertainty is stated beside each loss but does not move the limit.";
  } else {
    text.rule = "Guard band w = U, the expanded uncertainty U = 2\u00B7u (coverage factor k = 2).";
    text.lines = {{Outcome::pass, "loss \u2264 limit \u2212 w"},
                  {Outcome::conditional_pass, "limit \u2212 w < loss \u2264 limit"},
                  {Outcome::conditional_fail, "limit < loss \u2264 limit + w"},
                  {Outcome::fail, "loss > limit + w"}};
  }
  text.remarks.emplace_back(
      "Probability of conformance: P = \u03A6((limit \u2212 loss) / u), where \u03A6 is the standard normal "
      "distribution. Losses and limits are compared unrounded; two decimals are printed.");
  text.remarks.emplace_back("Words and rule after ILAC-G8:09/2019 and JCGM 106:2012.");
  return text;
}

std::string reason_of(const Assessment& all, const ExceptionGroup& group, const Wording& words) {
  if (group.problem < all.limit_problems.size()) return sentence_of(all.limit_problems[group.problem], words);
  if (group.reason != Reason::none) return std::string(sentence_of(group.reason));
  return fmt::format("{}.", capitalised(meaning_of(group.outcome, all.guard)));
}

std::string sentence_of(const Problem& problem, const Wording& words) {
  std::string text;
  const auto add = [&text](const std::string& sentence) {
    if (sentence.empty()) return;
    text += (text.empty() ? "" : " ") + capitalised(sentence);
    if (text.back() != '.' && text.back() != '?' && text.back() != '!') text += '.';
  };
  add(words.cell(problem.found));
  if (!problem.wanted.empty()) add(words.say("wanted") + ": " + words.say(problem.wanted));
  add(words.say(problem.advice));
  return text;
}

std::string_view next_step_of(const ExceptionGroup& group) {
  switch (group.outcome) {
    case Outcome::fail:
      return "Inspect and clean both ends and the test cords, then read again. Where it stays, find the "
             "place with "
             "a trace: connection, splice or bend.";
    case Outcome::conditional_fail:
      return "Inspect, clean and read again; a smaller uncertainty (closing check, better cords) may settle "
             "it. The "
             "owner decides on what stays within U of the limit.";
    case Outcome::conditional_pass:
      return "Usable. To make it a pass, clean and read again, or reduce the uncertainty; otherwise the "
             "owner "
             "accepts it as it is.";
    case Outcome::not_tested:
    case Outcome::invalid:
    case Outcome::pass:
      return "";
  }
  return "";
}

std::string_view meaning_of(ReferenceMethod method) {
  switch (method) {
    case ReferenceMethod::one_cord:
      return "read through one cord: both end connections of the link are in the reading";
    case ReferenceMethod::two_cord:
      return "read through two cords: one connection is held by the reference and missing from the reading";
    case ReferenceMethod::three_cord:
      return "read through three cords: two connections are held by the reference and missing from the "
             "reading";
  }
  return {};
}

std::string_view unit_of(Scale scale) {
  switch (scale) {
    case Scale::absolute:
      return "dB";
    case Scale::per_loss:
      return "dB per dB";
    case Scale::per_kilometre:
      return "dB per km";
  }
  return {};
}

std::string document_of(const RuleRef& source) {
  if (source.edition.empty()) return source.document;
  return source.document + (source.document.empty() ? "" : ":") + source.edition;
}

std::string source_text(const RuleRef& source, const Wording& words) {
  std::string text = words.say(document_of(source));
  if (!source.clause.empty()) text += (text.empty() ? "" : ", ") + words.say(source.clause);
  return fmt::format("{}{}({})", text, text.empty() ? "" : " ", words.say(text_of(source.standing)));
}

std::string title_of(const RuleSet& rule, const Wording& words) {
  std::string text = rule.id;
  if (!rule.title.empty()) text += " \u2014 " + words.say(rule.title);
  const std::string document = document_of({rule.document, rule.edition, {}, Standing::own, {}});
  if (!document.empty()) text += " (" + document + ")";
  return text;
}

std::string value_text(const Reading& reading, const Wording& words) {
  switch (reading.kind) {
    case ReadingKind::power:
      return words.decimal(reading.value, 2) + " dBm";
    case ReadingKind::loss:
      return words.decimal(reading.value, 2) + " dB";
    case ReadingKind::no_light:
      return words.say("no light");
  }
  return {};
}

}  // namespace strandbook
