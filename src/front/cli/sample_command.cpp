#include <fmt/format.h>

#include "edge/exchange/output_file.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/audit_sample.hpp"
#include "workflow/recorded_job.hpp"

namespace strandbook {
namespace {

constexpr std::size_t units_shown = 20;

struct DrawOptions {
  std::string record;
  std::string seed;
  std::string unit = "strand";
  std::string aql;
  std::string level = "II";
  std::string inspection = "normal";
  std::string good;
  std::string producer_risk;
  std::string poor;
  std::string consumer_risk;
  std::string to;
  std::string list;
  bool json = false;
};

struct AuditOptions {
  std::string sample;
  std::string recorded;
  std::string measured;
  bool json = false;
};

template <class T>
Result<T> one_of(const char* option, const std::string& text, std::initializer_list<T> choices) {
  std::string offered;
  for (const T choice : choices) {
    if (text == text_of(choice)) return choice;
    offered += (offered.empty() ? "" : ", ") + std::string(text_of(choice));
  }
  return bad_option(option, text, "one of " + offered);
}

/// Percent on the command line, a share inside.
Result<Done> take_percent(const char* option, const std::string& text, std::optional<double>& into) {
  if (text.empty()) return Done{};
  const char* wanted = "percent above 0 and below 100, such as 1.5";
  const Result<double> number = number_option(option, text, wanted);
  if (!number) return number.problem();
  if (*number <= 0 || *number >= 100) return bad_option(option, text, wanted);
  into = *number / 100;
  return Done{};
}

Result<SampleWish> sample_wish(const DrawOptions& options) {
  SampleWish wish;
  wish.seed = options.seed;
  const auto unit = one_of("--unit", options.unit, {SampleUnit::strand, SampleUnit::link});
  if (!unit) return unit.problem();
  wish.unit = *unit;
  const auto level =
      one_of("--level", options.level, {InspectionLevel::one, InspectionLevel::two, InspectionLevel::three});
  if (!level) return level.problem();
  wish.level = *level;
  const auto severity =
      one_of("--inspection", options.inspection, {InspectionSeverity::normal, InspectionSeverity::tightened});
  if (!severity) return severity.problem();
  wish.severity = *severity;
  std::optional<double> producer = wish.producer_risk;
  std::optional<double> consumer = wish.consumer_risk;
  for (const Result<Done>& done :
       {take_percent("--aql", options.aql, wish.aql_percent), take_percent("--good", options.good, wish.good),
        take_percent("--poor", options.poor, wish.poor),
        take_percent("--producer-risk", options.producer_risk, producer),
        take_percent("--consumer-risk", options.consumer_risk, consumer)})
    if (!done) return done.problem();
  wish.producer_risk = *producer;
  wish.consumer_risk = *consumer;
  if (wish.aql_percent) wish.aql_percent = *wish.aql_percent * 100;
  if (!wish.aql_percent && !wish.poor)
    return Problem{{"--aql", {}, 0, {}},
                   "neither --aql nor --poor",
                   "--aql 1.5 for the tables, or --poor 5 (with --good 1) for the risks",
                   ""};
  return wish;
}

void print_sample(const DrawnSample& sample) {
  fmt::print("{}\n", heading("Audit sample"));
  fmt::print("  Draw {} of {} {}s; accept with at most {} bad.\n", sample.units.size(), sample.lot,
             text_of(sample.unit), sample.plan.accept);
  fmt::print("  {}\n", wrapped(sample.how, 4));
  if (!sample.source.empty()) fmt::print("  {}\n", wrapped(sample.source, 4));
  if (sample.good)
    fmt::print("  A lot with {:.2f} % bad is accepted with {:.1f} %.\n", *sample.good * 100,
               sample.accepted_at_good * 100);
  fmt::print("  A lot with {:.2f} % bad is still accepted with at most 10 %.\n", sample.poor_10 * 100);
  fmt::print(
      "  Seed \"{}\": whoever orders all {}s by the SHA-256 of \"seed TAB link TAB strand\" and takes the "
      "first {} draws the same.\n",
      sample.seed, text_of(sample.unit), sample.units.size());
  for (std::size_t i = 0; i < std::min(sample.units.size(), units_shown); ++i)
    fmt::print("    {} {}\n", sample.units[i].link, sample.units[i].strand);
  if (sample.units.size() > units_shown)
    fmt::print("    ... and {} more; --list writes them all.\n", sample.units.size() - units_shown);
  fmt::print("  {}\n",
             wrapped("Agree on the seed after the record was handed in. Strands of one cable or array are "
                     "not independent: with --unit link whole links are drawn.",
                     4));
}

int run_draw(const DrawOptions& options) {
  const Result<SampleWish> wish = sample_wish(options);
  if (!wish) return refuse(wish.problem());
  const Result<RecordedJob> job = recorded_job(options.record);
  if (!job) return refuse(job.problem());
  const Result<DrawnSample> sample = draw_sample(*job, *wish);
  if (!sample) return refuse(sample.problem());
  if (!options.to.empty())
    if (const Result<Done> done = write_file(options.to, sample_json(*sample)); !done)
      return refuse(done.problem());
  if (!options.list.empty())
    if (const Result<Done> done = write_file(options.list, sample_csv(*sample)); !done)
      return refuse(done.problem());
  if (options.json)
    fmt::print("{}", sample_json(*sample));
  else if (options.to != "-" && options.list != "-")
    print_sample(*sample);
  return 0;
}

void print_audited(const AuditWork& work, const std::vector<std::uint32_t>& pairs, const char* why) {
  for (const std::uint32_t at : pairs) {
    const TestPair& pair = work.judged.comparison.pairs[at];
    const RecordedTest& old = work.judged.before.tests[pair.before];
    const RecordedTest& now = work.judged.after.tests[pair.after];
    fmt::print("  ✕ {} {} {:g} nm {}: {} (recorded {:.2f} dB, now {:.2f} ± {:.2f} dB)\n", old.link,
               old.strand, old.wavelength.value, old.direction ? text_of(*old.direction) : "", why,
               old.loss.value_or(Decibels{}).value, now.loss.value_or(Decibels{}).value,
               2 * now.uncertainty.value);
  }
}

void print_audit(const AuditWork& work) {
  const AuditJudgement& judged = work.judged;
  fmt::print("{}\n", heading("Audit"));
  fmt::print("  {}: {} of {} {}s bad, at most {} are accepted.\n", text_of(judged.outcome), judged.bad,
             judged.units.size(), text_of(work.sample.unit), judged.plan.accept);
  for (const AuditedUnit& unit : judged.units) {
    print_audited(work, unit.over_limit, "beyond the limit by more than the uncertainty");
    print_audited(work, unit.differing, "not what was recorded, beyond uncertainty");
  }
  if (judged.incomplete > 0)
    fmt::print("  {} {}s are not measured whole; no lot is accepted before they are.\n", judged.incomplete,
               text_of(work.sample.unit));
  fmt::print("  With {:.0f} % confidence no more than {} of {} {}s are bad ({:.2f} %).\n",
             judged.confidence * 100, judged.most_bad, judged.lot, text_of(work.sample.unit),
             100.0 * judged.most_bad / judged.lot);
  for (const SharedMove& move : judged.comparison.moves)
    if (move.beyond)
      fmt::print(
          "  All {} readings at {:g} nm under {} lie {:+.2f} ± {:.2f} dB from the record: look at the "
          "references before the strands.\n",
          move.tests, move.wavelength.value,
          move.reference_after.empty() ? "the audit's reference" : move.reference_after, move.move.value,
          2 * move.uncertainty.value);
  if (judged.outcome == AuditOutcome::rejected)
    fmt::print("  {}\n",
               wrapped("A rejected lot is not mended by another sample: everything is measured again, or "
                       "the cause is found and what it touched.",
                       4));
}

int run_audit(const AuditOptions& options) {
  const Result<AuditWork> work = audit_job(options.sample, options.recorded, options.measured);
  if (!work) return refuse(work.problem());
  if (options.json)
    fmt::print("{}\n", audit_json(*work));
  else
    print_audit(*work);
  return work->judged.outcome == AuditOutcome::accepted ? 0 : 1;
}

void add_draw(CLI::App& sample, ExitStatus& status) {
  auto options = std::make_shared<DrawOptions>();
  CLI::App* command = sample.add_subcommand("draw", "Draw an audit sample of a record");
  command->add_option("RECORD", options->record, "A book, or the JSON of assess")->required();
  command->add_option("--seed", options->seed, "Any text, agreed after the record was handed in")->required();
  command->add_option("--unit", options->unit, "What is drawn: strand or link");
  command->add_option("--aql", options->aql, "Plan of MIL-STD-105E for this acceptable quality, percent");
  command->add_option("--level", options->level, "Inspection level of the tables: I, II or III");
  command->add_option("--inspection", options->inspection, "normal or tightened");
  command->add_option("--poor", options->poor,
                      "Percent of bad units that must be found out; without --good no bad unit is accepted");
  command->add_option("--good", options->good, "Percent of bad units that is to be accepted");
  command->add_option("--producer-risk", options->producer_risk, "Percent; 5 where nothing is said");
  command->add_option("--consumer-risk", options->consumer_risk, "Percent; 10 where nothing is said");
  command->add_option("--to", options->to, "Write the sample to this file, for sample judge");
  command->add_option("--list", options->list, "Write link and strand of each unit to this file");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_draw(*options); });
}

void add_judge(CLI::App& sample, ExitStatus& status) {
  auto options = std::make_shared<AuditOptions>();
  CLI::App* command = sample.add_subcommand("judge", "Judge the sample once it was measured again");
  command->add_option("SAMPLE", options->sample, "The file that sample draw --to wrote")->required();
  command->add_option("--recorded", options->recorded, "The record: a book, or the JSON of assess")
      ->required();
  command->add_option("--measured", options->measured, "The sample measured again: likewise")->required();
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_audit(*options); });
}

}  // namespace

void add_sample_command(CLI::App& app, ExitStatus& status) {
  CLI::App* sample =
      app.add_subcommand("sample", "Audit by sampling: draw, and judge what was measured again");
  sample->require_subcommand(1);
  add_draw(*sample, status);
  add_judge(*sample, status);
}

}  // namespace strandbook
