#include <fmt/format.h>

#include <cmath>

#include "front/cli/commands.hpp"
#include "front/cli/job_source.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/predict_job.hpp"

namespace strandbook {
namespace {

constexpr std::size_t warnings_shown = 12;
constexpr std::size_t links_in_list = 15;

struct PredictOptions {
  JobOptions job;
  PredictionWish wish;
  std::string grade;
  std::string multimode_grade;
  std::string least;
  std::string link_minutes;
  std::string strand_minutes;
  std::string reading_minutes;
  std::string day_hours;
  bool working = false;
  bool json = false;
};

void print_predicted_parts(const DesignPrediction& design) {
  for (const PredictedPart& part : design.loss->parts)
    fmt::print("      {:<22} {:>7.3f} × {:.3f} = {:>6.3f} dB ± {:.3f}  {}\n", part.term, part.count,
               part.each.value, part.mean.value, part.deviation.value, describe(part.source));
  for (const std::string& note : design.loss->notes) fmt::print("      {}\n", wrapped(note, 6));
}

void print_design(const DesignPrediction& design) {
  if (!design.predicted()) {
    fmt::print("      cannot be predicted: {}\n", wrapped(describe(*design.problem), 8));
    return;
  }
  const Cumulants& total = design.loss->total;
  fmt::print(
      "      {:g} nm: expected {:.2f} dB ± {:.2f}, 95 % below {:.2f} dB, limit {:.2f} dB, accepted {} "
      "%\n",
      design.design.question.wavelength.value, total.mean, std::sqrt(total.variance), quantile(total, 0.95),
      design.limit->value.value, percent_words(design.accepted));
}

void print_warnings(const PredictedWork& work) {
  if (work.warnings.empty()) return;
  fmt::print("{}\n", heading("What should be mended before the work begins"));
  for (std::size_t i = 0; i < std::min(work.warnings.size(), warnings_shown); ++i) {
    const PredictionWarning& warning = work.warnings[i];
    fmt::print("  {} {}\n", warning.hopeless ? "✕" : "◐", wrapped(warning.words, 4));
    for (const Mend& mend : warning.mends) fmt::print("      → {}\n", wrapped(mend.words, 8));
  }
  if (work.warnings.size() > warnings_shown)
    fmt::print("  ... and {} more; --json lists them all.\n", work.warnings.size() - warnings_shown);
  fmt::print("\n");
}

void print_links(const PredictedWork& work, bool working) {
  const JobPrediction& job = work.job;
  fmt::print("{}\n", heading("Links, worst first"));
  const std::size_t most = working ? job.links.size() : std::min(job.links.size(), links_in_list);
  for (std::size_t i = 0; i < most; ++i) {
    const LinkPrediction& link = job.links[i];
    fmt::print("  {:<20} {} strands, {} tests, {:.2f} expected to fail, {:.0f} min\n", link.link,
               link.strands, link.tests, link.expected_failures, minutes_at(link, work.parts.times));
    print_design(job.designs[link.worst]);
    if (working && job.designs[link.worst].loss) print_predicted_parts(job.designs[link.worst]);
  }
  if (most < job.links.size())
    fmt::print("  ... and {} more; --working or --json lists them all.\n", job.links.size() - most);
}

void print_failures(const JobPrediction& job) {
  fmt::print("{}\n", heading("The job"));
  fmt::print("  {} tests planned, {} of them cannot be predicted.\n", job.planned, job.not_predicted);
  fmt::print("  {:.2f} strands are expected to fail; in 95 of 100 such jobs {} to {}. None fails: {} %.\n",
             job.failures.expected, job.failures.low, job.failures.high, percent_words(job.failures.none));
}

void print_crews(const PredictedWork& work) {
  const TestTimes& times = work.parts.times;
  fmt::print("  Test time {:.1f} h with {} crew{} of {:g}: {:.1f} days of {:g} h.\n", work.crews.minutes / 60,
             work.crews.crews.size(), work.crews.crews.size() == 1 ? "" : "s", times.people.value,
             work.crews.days, times.day_hours.value);
  for (std::size_t i = 0; i < work.crews.crews.size() && work.crews.crews.size() > 1; ++i) {
    const CrewShare& crew = work.crews.crews[i];
    fmt::print("    crew {}: {} links, {} tests, {} references, {:.1f} h\n", i + 1, crew.links.size(),
               crew.tests, crew.sessions, crew.all_minutes / 60);
  }
  fmt::print(
      "  Times: {:g} min a link, {:g} a strand and direction, {:g} a reading, {:g} a reference every {:g} h "
      "({}).\n\n",
      times.link_minutes.value, times.strand_minutes.value, times.reading_minutes.value,
      times.reference_minutes.value, times.session_hours.value,
      text_of(times.strand_minutes.source.standing));
}

Result<Done> take_number(const char* option, const std::string& text, const char* wanted, double least,
                         double most, std::optional<double>& into) {
  if (text.empty()) return Done{};
  const Result<double> number = number_option(option, text, wanted);
  if (!number) return number.problem();
  if (*number < least || *number > most) return bad_option(option, text, wanted);
  into = *number;
  return Done{};
}

Result<PredictionWish> wish_from(const PredictOptions& options) {
  PredictionWish wish = options.wish;
  if (!options.grade.empty()) wish.single_mode_grade = options.grade;
  if (!options.multimode_grade.empty()) wish.multimode_grade = options.multimode_grade;
  if (const auto done =
          take_number("--least", options.least, "a probability from 0.5 to 0.9999, such as 0.95", 0.5, 0.9999,
                      wish.least_probability);
      !done)
    return done.problem();
  const char* minutes = "minutes from 0 to 600";
  if (const auto done =
          take_number("--link-minutes", options.link_minutes, minutes, 0, 600, wish.link_minutes);
      !done)
    return done.problem();
  if (const auto done =
          take_number("--strand-minutes", options.strand_minutes, minutes, 0, 600, wish.strand_minutes);
      !done)
    return done.problem();
  if (const auto done =
          take_number("--reading-minutes", options.reading_minutes, minutes, 0, 600, wish.reading_minutes);
      !done)
    return done.problem();
  if (const auto done =
          take_number("--day-hours", options.day_hours, "hours from 0.25 to 24", 0.25, 24, wish.day_hours);
      !done)
    return done.problem();
  return wish;
}

int run_predict(const PredictOptions& options) {
  const Result<PredictionWish> wish = wish_from(options);
  if (!wish) return refuse(wish.problem());
  const Result<JudgedWork> job = judged_work(options.job);
  if (!job) return refuse(job.problem());
  const Result<PredictedWork> work = predict_work(*job, *wish);
  if (!work) return refuse(work.problem());
  const bool holds = all_likely(*work) && job->job.unread_rows.empty();
  if (options.json) {
    fmt::print("{}\n", prediction_json(*work, job->job.assessment.schedule, job->job.unread_rows));
    return holds ? 0 : 1;
  }
  print_warnings(*work);
  print_failures(work->job);
  print_crews(*work);
  print_links(*work, options.working);
  for (const Problem& row : job->job.unread_rows) fmt::print("  not used: {}\n", wrapped(describe(row), 4));
  return holds ? 0 : 1;
}

}  // namespace

void add_predict_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<PredictOptions>();
  CLI::App* command = app.add_subcommand(
      "predict", "Before the job: expected losses, failures, test time, and designs that cannot hold");
  command->add_option("--grade", options->grade, "Grade of single-mode connections: A, B, C, D");
  command->add_option("--grade-multimode", options->multimode_grade,
                      "Grade of multimode connections: Bm, Cm");
  command->add_option("--components", options->wish.components,
                      "Component statistics and times of your own, in the form of "
                      "rules/practice/prediction.json");
  command->add_option("--least", options->least,
                      "Probability of acceptance that a design needs, such as 0.95");
  command->add_option("--crews", options->wish.crews, "Number of crews")->check(CLI::Range(1, 100));
  command->add_option("--link-minutes", options->link_minutes, "To reach both ends of a link");
  command->add_option("--strand-minutes", options->strand_minutes,
                      "To inspect, clean and connect one strand, for each direction");
  command->add_option("--reading-minutes", options->reading_minutes, "For one reading");
  command->add_option("--day-hours", options->day_hours, "Working hours of a day");
  command->add_flag("--working", options->working, "Print the parts of every link's prediction");
  command->add_flag("--json", options->json, "Print JSON");
  command->add_option("--book", options->job.book, "A book instead of files");
  add_file_options(*command, options->job);
  add_rule_options(*command, options->job);
  add_import_options(*command, options->job);
  command->callback([options, &status] { status.value = run_predict(*options); });
}

}  // namespace strandbook
