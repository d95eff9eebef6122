#include <fmt/format.h>

#include "edge/exchange/carry_json.hpp"
#include "edge/exchange/check_json.hpp"
#include "edge/exchange/splitter_file.hpp"
#include "edge/exchange/test_json.hpp"
#include "front/cli/check_words.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/check_tree.hpp"

namespace strandbook {
namespace {

struct TreeOptions {
  std::string file;
  std::string splitter_file;
  std::string launch;
  std::vector<std::string> applications;
  std::string uncertainty;
  JobOptions job;
  bool sources = false;
  bool json = false;
};

void print_limit(const Limit& limit) {
  for (const LimitTerm& term : limit.working)
    fmt::print("        {:<22} {:>7.4g} × {:>6.2f} = {:>6.2f} dB   {}\n", term.term, term.count,
               term.each.value, term.total.value, wrapped(describe(term.source), 10));
  for (const std::string& note : limit.notes) fmt::print("        {}\n", wrapped(note, 8));
}

void print_reading(const TreeReading& reading, const TreePort& port, bool sources) {
  fmt::print("  {}  {} {:g} nm  loss {:.2f} dB", styled(reading.outcome), port.name, reading.wavelength.value,
             reading.loss.value);
  if (reading.limit)
    fmt::print(", limit {:.2f}, margin {:+.2f}", reading.limit->value.value,
               (reading.limit->value - reading.loss).value);
  if (reading.beyond_median) fmt::print(", {:+.2f} beside its siblings", reading.beyond_median->value);
  fmt::print("\n");
  if (reading.impossible)
    fmt::print("      {}\n",
               wrapped(fmt::format("Its splitters alone must take {:.2f} dB. Check the reference, the "
                                   "ratio and which port was read.",
                                   reading.least.value),
                       6));
  if (reading.stands_out)
    fmt::print("      {}\n",
               wrapped("It loses more than the other ports of its splitter. Clean and inspect its own "
                       "connections and look for a bend in its drop first.",
                       6));
  if (!reading.limit_problem.empty()) fmt::print("      {}\n", wrapped(reading.limit_problem, 6));
  if (sources && reading.limit) print_limit(*reading.limit);
}

void print_answers(const TreeCheck& check, std::uint32_t port, const KnownApplications& known, bool all) {
  for (const TreeAnswer& answer : check.answers) {
    if (answer.port != port) continue;
    if (!all && answer.outcome.carries >= Carries::cannot_say) continue;
    const Application& row = known.rows()[answer.row];
    fmt::print("      {:<19} {}  {}", text_of(answer.outcome.carries), row.name, row.table);
    if (answer.outcome.lane != no_lane) fmt::print("  margin {:+.2f} dB", answer.outcome.loss_margin.value);
    fmt::print("\n");
    for (std::size_t i = 0; all && i < carry_reason_count; ++i)
      if (answer.outcome.reasons.has(static_cast<CarryReason>(i)))
        fmt::print("          {}\n", wrapped(std::string(sentence_of(static_cast<CarryReason>(i))), 10));
    if (answer.outcome.attenuator.value > 0)
      fmt::print("          Attenuator of at least {:.2f} dB.\n", answer.outcome.attenuator.value);
  }
}

void print_check(const TreeCheck& check, const KnownApplications& known, const TreeOptions& options) {
  for (std::uint32_t port = 0; port < check.ports.size(); ++port) {
    for (const TreeReading& reading : check.readings)
      if (reading.port == port) print_reading(reading, check.ports[port], options.sources);
    print_answers(check, port, known, !options.applications.empty());
  }
  print_leftovers(check.left);
  fmt::print("\n{}\n",
             wrapped("Caution: treat every port as live until measured dark; the light is invisible. Local "
                     "codes and licensed practice prevail.",
                     0));
}

void append_reading(std::string& out, const TreeReading& reading, const TreePort& port) {
  JsonMembers members(out);
  members.text("port", port.name);
  members.maybe_text("splitter", port.splitter);
  members.number("wavelength_nm", reading.wavelength.value);
  members.number("loss_db", reading.loss.value);
  members.number("least_possible_db", reading.least.value);
  members.quantity("limit_db", reading.limit ? std::optional(reading.limit->value) : std::nullopt);
  members.text("outcome", text_of(reading.outcome));
  members.quantity("beyond_siblings_db", reading.beyond_median);
  members.truth("stands_out", reading.stands_out);
  members.truth("impossible", reading.impossible);
  members.maybe_text("limit_problem", reading.limit_problem);
  if (reading.limit) out += limit_members(*reading.limit);
  members.end();
}

std::string check_json(const TreeCheck& check, const KnownApplications& known) {
  std::string out;
  JsonMembers whole(out);
  whole.number("format", 1);
  whole.name("readings");
  append_json_list(out, check.readings, [&](const TreeReading& reading) {
    append_reading(out, reading, check.ports[reading.port]);
  });
  whole.name("answers");
  append_json_list(out, check.answers, [&](const TreeAnswer& answer) {
    JsonMembers members(out);
    members.text("port", check.ports[answer.port].name);
    members.text("application", known.rows()[answer.row].name);
    members.text("table", known.rows()[answer.row].table);
    members.text("carries", text_of(answer.outcome.carries));
    members.quantity("loss_margin_db", answer.outcome.lane == no_lane
                                           ? std::nullopt
                                           : std::optional(answer.outcome.loss_margin));
    members.number("attenuator_db", answer.outcome.attenuator.value);
    members.end();
  });
  finish_check(out, whole, check.left);
  return out;
}

Result<TreeQuestion> question_of(const TreeOptions& options, const KnownRules& rules,
                                 const KnownApplications& known) {
  TreeQuestion question;
  const Result<const RuleSet*> rule = rule_by_id(*rules.rulebook, options.job.rule);
  if (!rule) return rule.problem();
  question.rule = *rule;
  const Result<JobSettings> job = job_settings(options.job);
  if (!job) return job.problem();
  question.method = job->method.value_or(ReferenceMethod::one_cord);
  question.guard = job->guard.value_or(GuardBand::none);
  if (!options.launch.empty()) {
    const auto launch = number_option("--launch", options.launch, "dBm, such as 3");
    if (!launch) return launch.problem();
    question.launched = PowerDbm{*launch};
  }
  if (!options.uncertainty.empty()) {
    const auto expanded =
        number_option("--expanded-uncertainty", options.uncertainty, "dB (k = 2), such as 0.3");
    if (!expanded) return expanded.problem();
    question.expanded_uncertainty = {*expanded};
  }
  for (const std::string& asked : options.applications) {
    const auto names = applications_named(known.rows(), asked);
    if (!names) return names.problem();
    question.applications.insert(question.applications.end(), names->begin(), names->end());
  }
  return question;
}

int run_tree(const TreeOptions& options) {
  const auto known = know_applications();
  if (!known) return refuse(known.problem());
  const Result<KnownRules> rules = know_rules({options.job.own_rule_files, {}}, {});
  if (!rules) return refuse(rules.problem());
  const Result<TreeQuestion> question = question_of(options, *rules, **known);
  if (!question) return refuse(question.problem());
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return refuse(folder.problem());
  const Result<SplitterPractice> practice = read_splitters(
      options.splitter_file.empty() ? *folder + "/practice/splitters.json" : options.splitter_file);
  if (!practice) return refuse(practice.problem());
  const Result<TreeCheck> check = check_tree(options.file, *question, *practice, **known);
  if (!check) return refuse(check.problem());
  if (options.json)
    fmt::print("{}\n", check_json(*check, **known));
  else
    print_check(*check, **known, options);
  return all_hold(*check) ? 0 : 1;
}

}  // namespace

void add_tree_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<TreeOptions>();
  CLI::App* command =
      app.add_subcommand("tree", "Ports of a passive optical network: loss, siblings, classes");
  command->add_option("--ports", options->file, "A file with a row per port")->required();
  command->add_option("--rule", options->job.rule, "Rule set for fibre, connections and splices")->required();
  command->add_option("--rule-file", options->job.own_rule_files, "A rule file of your own");
  command->add_option("--reference-method", options->job.method, "one-cord, two-cord or three-cord");
  command->add_option("--splitter-file", options->splitter_file, "Splitter losses of your own");
  command->add_option("--launch", options->launch,
                      "Level at the head end, where the file holds received levels, dBm");
  command->add_option("--application", options->applications, "Only this class; a part of the name will do");
  command->add_option("--expanded-uncertainty", options->uncertainty, "Uncertainty of a loss (k = 2), dB");
  command->add_option("--guard", options->job.guard, "Guard band: none or U");
  command->add_flag("--sources", options->sources, "Print the working of each limit with its sources");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_tree(*options); });
}

}  // namespace strandbook
