#include <fmt/format.h>

#include "edge/exchange/assessment_out.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"

namespace strandbook {
namespace {

struct LimitOptions {
  std::string fibre;
  std::string plant;
  std::string length;
  std::string connections;
  std::string splices = "0";
  std::string wavelength;
  bool json = false;
  JobOptions job;
};

Result<int> count_option(const char* option, const std::string& text) {
  const Result<double> value = number_option(option, text, "a whole number");
  if (!value) return value.problem();
  if (*value < 0 || *value > 1000 || *value != static_cast<int>(*value))
    return bad_option(option, text, "a whole number, 0 to 1000");
  return static_cast<int>(*value);
}

Result<Done> take_numbers(const LimitOptions& options, LimitQuestion& question) {
  const Result<double> length = number_option("--length", options.length, "metres, such as 120");
  if (!length) return length.problem();
  question.length = Metres{*length};
  const Result<double> wavelength = number_option("--wavelength", options.wavelength, "nm, such as 850");
  if (!wavelength) return wavelength.problem();
  question.wavelength = {*wavelength};
  const Result<int> connections = count_option("--connections", options.connections);
  if (!connections) return connections.problem();
  question.connections = *connections;
  const Result<int> splices = count_option("--splices", options.splices);
  if (!splices) return splices.problem();
  question.splices = *splices;
  return Done{};
}

Result<LimitQuestion> question_from(const LimitOptions& options) {
  LimitQuestion question;
  if (const Result<Done> done = take_numbers(options, question); !done) return done.problem();
  question.fibre = parse_fibre_category(options.fibre);
  if (!question.fibre && !options.fibre.empty())
    return bad_option("--fibre", options.fibre, "OM1 to OM5, OS1, OS1a, OS2, multimode or single-mode");
  const auto plant = parse_plant(options.plant);
  if (!plant) return bad_option("--plant", options.plant, "inside, indoor-outdoor or outside");
  question.plant = *plant;
  const Result<JobSettings> job = job_settings(options.job);
  if (!job) return job.problem();
  question.method = job->method;
  question.cords = job->cords;
  question.configuration = job->configuration;
  return question;
}

void print_text(const RuleSet& rule, const Limit& limit) {
  fmt::print("{}  ({})\n\n", heading(fmt::format("Limit {:.2f} dB", limit.value.value)), rule.id);
  for (const LimitTerm& term : limit.working) {
    const bool fibre = term.term == "fibre";
    fmt::print("  {:<22} {:>7} {} {:>6.2f} {:<5} = {:>7.3f} dB\n", term.term,
               fmt::format("{:.4g}", term.count), fibre ? "km ×" : "   ×", term.each.value,
               fibre ? "dB/km" : "dB", term.total.value);
    fmt::print("      {}\n", wrapped(describe(term.source), 6));
    if (!term.source.note.empty()) fmt::print("      {}\n", wrapped("Note: " + term.source.note, 6));
  }
  for (const std::string& note : limit.notes) fmt::print("\n  {}\n", wrapped(note, 2));
  if (rests_on_memory(limit))
    fmt::print("\n  {}\n",
               wrapped("This limit rests on numbers from memory: check them against the document.", 2));
}

int run_limit(const LimitOptions& options) {
  const Result<KnownRules> known = know_rules({options.job.own_rule_files, {}}, {});
  if (!known) return refuse(known.problem());
  const Result<const RuleSet*> rule = rule_by_id(*known->rulebook, options.job.rule);
  if (!rule) return refuse(rule.problem());
  const Result<LimitQuestion> question = question_from(options);
  if (!question) return refuse(question.problem());
  const Result<Limit> limit = limit_of(**rule, *question);
  if (!limit) return refuse(limit.problem());
  if (options.json)
    fmt::print("{}\n", limit_json(**rule, *question, *limit));
  else
    print_text(**rule, *limit);
  return 0;
}

}  // namespace

void add_limit_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<LimitOptions>();
  CLI::App* command = app.add_subcommand("limit", "The loss limit of a link, with its working");
  command->add_option("--fibre,--fiber", options->fibre,
                      "OM1 to OM5, OS1, OS1a, OS2, multimode or single-mode");
  command->add_option("--plant", options->plant, "Single-mode cable laid: inside, indoor-outdoor or outside");
  command->add_option("--length", options->length, "Length, m")->required();
  command->add_option("--connections", options->connections, "Mated pairs, end connections included")
      ->required();
  command->add_option("--splices", options->splices, "Splices");
  command->add_option("--wavelength", options->wavelength, "Wavelength, nm")->required();
  command->add_option("--rule", options->job.rule, "Rule set, such as iso-14763-3-2024")->required();
  command->add_option("--rule-file", options->job.own_rule_files, "A rule file of your own");
  command->add_option("--reference-method", options->job.method, "one-cord, two-cord or three-cord");
  command->add_option("--cord-grade", options->job.cords, "Test cords: reference or standard");
  command->add_option("--configuration", options->job.configuration, "What is tested: link or channel");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_limit(*options); });
}

}  // namespace strandbook
