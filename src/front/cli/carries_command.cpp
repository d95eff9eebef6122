#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/carry_json.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/job_source.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/carry_job.hpp"

namespace strandbook {
namespace {

struct CarriesOptions {
  JobOptions job;
  std::vector<std::string> applications;
  std::string link;
  std::string fibre;
  std::string length;
  std::string connections;
  std::vector<std::string> losses;
  std::string attenuation;
  std::string uncertainty;
  bool working = false;
  bool json = false;
};

std::string_view shape_of(Carries carries) {
  switch (carries) {
    case Carries::supported:
      return "●";
    case Carries::supported_with:
      return "◐";
    case Carries::not_supported:
      return "✕";
    case Carries::cannot_say:
      return "○";
  }
  return "";
}

/// Words in a column: the shape takes three bytes and one place.
std::string in_column(Carries carries) {
  return fmt::format("{} {:<19}", shape_of(carries), text_of(carries));
}

void print_line(const CarryLine& line) {
  const auto number = [](const std::optional<double>& value) {
    return value ? fmt::format("{:.4g}", *value) : std::string("–");
  };
  std::string what{line.what};
  if (line.at) what += fmt::format(" at {:g} nm", line.at->value);
  if (line.at != line.read) what += fmt::format(", read at {:g} nm", line.read->value);
  fmt::print("      {:<34} {:>8} {:<4} {} {:>8}", what, number(line.found), line.unit,
             line.informative ? "for information" : "allowed", number(line.allowed));
  if (line.margin) fmt::print("  margin {:+.4g}", *line.margin);
  fmt::print("\n          {}\n", wrapped(describe(line.source), 10));
}

void print_carry_reasons(const AnswerContext& context, const CarryOutcome& outcome) {
  for (std::size_t i = 0; i < carry_reason_count; ++i) {
    const auto reason = static_cast<CarryReason>(i);
    if (!outcome.reasons.has(reason)) continue;
    const std::string text = reason == CarryReason::needs_more ? "It needs " + context.row.needs + "."
                                                               : std::string(sentence_of(reason));
    fmt::print("      {}\n", wrapped(text, 6));
  }
  if (outcome.attenuator.value > 0)
    fmt::print("      Attenuator of at least {:.2f} dB.\n", outcome.attenuator.value);
  if (const auto room = room_of(context.channel, outcome, context.row))
    fmt::print("      Room to the limit: {:.2f} dB, {:.0f} m of the same fibre.\n", outcome.loss_margin.value,
               room->value);
}

void print_remedies(const AnswerContext& context, const CarryOutcome& outcome) {
  for (const Remedy& remedy : remedies_of(context.channel, outcome, context.parts)) {
    const char* enough = remedy.enough ? "would be enough" : "would not be enough";
    if (remedy.kind == RemedyKind::shorter)
      fmt::print("      What it would take: {:.0f} m shorter {}.\n", remedy.shorter.value, enough);
    else
      fmt::print("      What it would take: {} (saves at most {:.2f} dB) {}.\n", text_of(remedy.kind),
                 remedy.saves.value, enough);
  }
}

void print_answer(const AnswerContext& context, const CarryOutcome& outcome, bool working) {
  fmt::print("    {} {:<22} {}\n", in_column(outcome.carries), context.row.name, context.row.table);
  if (!working) return;
  print_carry_reasons(context, outcome);
  for (const CarryLine& line : working_of(context.row, context.channel, outcome)) print_line(line);
  print_remedies(context, outcome);
}

void print_link(const LinkCarries& link, const CarryGround& ground, bool working) {
  fmt::print("{}  {}\n", heading(link.link), link.fibre ? text_of(*link.fibre) : "fibre not known");
  if (link.answers.empty())
    fmt::print("    {}\n",
               wrapped("No table speaks of this fibre. Enter its category (OM1 to OM5, OS1a, OS2).", 4));
  for (const LinkAnswer& answer : link.answers) {
    const auto behind = channel_behind(ground, answer);
    print_answer({ground.rows[answer.row], behind->channel, behind->parts}, answer.outcome, working);
    std::size_t groups = 0;
    for (const std::uint32_t count : answer.groups) groups += count;
    if (groups > 1 && answer.outcome.carries != Carries::supported)
      fmt::print("      {} of {} groups of {} strands supported; the worst begins at strand {}\n",
                 answer.groups[0], groups, answer.group.strands.size(),
                 ground.assessment.schedule[answer.group.strands.front()].strand);
  }
}

void print_counts(const std::vector<LinkCarries>& links, const KnownApplications& known) {
  fmt::print("{}\n", heading("Applications over all links (groups of strands)"));
  fmt::print("  {:<24} {:<18} {:>10} {:>10} {:>11} {:>14}\n", "", "table", "supported", "only with",
             "cannot say", "not supported");
  for (const ApplicationCount& count : count_applications(links, known.rows())) {
    const Application& row = known.rows()[count.row];
    fmt::print("  {:<24} {:<18} {:>10} {:>10} {:>11} {:>14}\n", row.name, row.table, count.groups[0],
               count.groups[1], count.groups[2], count.groups[3]);
  }
}

std::string link_json(const LinkCarries& link, const CarryGround& ground) {
  std::string out;
  JsonMembers members(out);
  members.text("link", link.link);
  members.choice("fibre", link.fibre);
  members.name("answers");
  append_json_list(out, link.answers,
                   [&](const LinkAnswer& answer) { append_link_answer(out, ground, answer); });
  members.end();
  return out;
}

bool all_supported(const std::vector<LinkCarries>& links) {
  return std::all_of(links.begin(), links.end(), [](const LinkCarries& link) {
    return !link.answers.empty() &&
           std::all_of(link.answers.begin(), link.answers.end(), [](const LinkAnswer& answer) {
             return answer.outcome.carries <= Carries::supported_with;
           });
  });
}

Result<CarryWish> wish_of(const CarriesOptions& options, const KnownApplications& known) {
  CarryWish wish;
  wish.link = options.link;
  for (const std::string& asked : options.applications) {
    const Result<std::vector<std::string>> names = applications_named(known.rows(), asked);
    if (!names) return names.problem();
    wish.applications.insert(wish.applications.end(), names->begin(), names->end());
  }
  return wish;
}

int carry_of_job(const CarriesOptions& options, const KnownApplications& known, const CarryWish& wish) {
  const Result<JudgedWork> work = judged_work(options.job);
  if (!work) return refuse(work.problem());
  const Assessment& all = work->job.assessment;
  const StrandLosses losses(all);
  const CarryGround ground = known.ground(all, losses);
  const std::vector<LinkCarries> links = carry_job(ground, known.table(), wish);
  if (links.empty())
    return refuse({{"--link", {}, 0, {}}, "\"" + options.link + "\"", "a link of the schedule", ""});
  if (options.json) {
    std::string out = "{\"format\":1,\"links\":";
    append_json_list(out, links, [&](const LinkCarries& link) { out += link_json(link, ground); });
    fmt::print("{}}}\n", out);
  } else if (wish.link.empty() && wish.applications.empty()) {
    print_counts(links, known);
  } else {
    for (const LinkCarries& link : links) print_link(link, ground, options.working || !wish.link.empty());
  }
  // Whoever asks for all applications does not expect every one to be carried.
  return wish.applications.empty() || all_supported(links) ? 0 : 1;
}

/// "850:1.4": wavelength and loss.
Result<MeasuredLoss> typed_loss(const CarriesOptions& options, const std::string& text) {
  const std::size_t colon = text.find(':');
  if (colon == std::string::npos)
    return Problem{{"--loss", {}, 0, {}}, "\"" + text + "\"", "wavelength and loss, such as 850:1.4", ""};
  const auto nm = number_option("--loss", text.substr(0, colon), "nm, such as 850");
  if (!nm) return nm.problem();
  const auto loss = number_option("--loss", text.substr(colon + 1), "dB, such as 1.4");
  if (!loss) return loss.problem();
  MeasuredLoss measured{{*nm}, {*loss}, {}, {*loss}, {}};
  if (!options.uncertainty.empty()) {
    const auto expanded = number_option("--uncertainty", options.uncertainty, "dB (k = 2), such as 0.2");
    if (!expanded) return expanded.problem();
    measured.standard_uncertainty = {*expanded / 2};
  }
  if (!options.attenuation.empty()) {
    const auto attenuation = number_option("--attenuation", options.attenuation, "dB/km, such as 3.0");
    if (!attenuation) return attenuation.problem();
    measured.attenuation = DecibelsPerKilometre{*attenuation};
  }
  return measured;
}

Result<AnsweredChannel> typed_channel(const CarriesOptions& options) {
  AnsweredChannel typed;
  typed.channel.fibre = parse_fibre_category(options.fibre);
  if (!typed.channel.fibre)
    return Problem{{"--fibre", {}, 0, {}}, "\"" + options.fibre + "\"", "OM1 to OM5, OS1, OS1a or OS2", ""};
  if (!options.length.empty()) {
    const auto length = number_option("--length", options.length, "metres, such as 90");
    if (!length) return length.problem();
    typed.channel.length = Metres{*length};
  }
  if (!options.connections.empty()) {
    const auto count = number_option("--connections", options.connections, "a whole number");
    if (!count) return count.problem();
    typed.parts.connections = static_cast<int>(*count);
  }
  for (const std::string& text : options.losses) {
    const Result<MeasuredLoss> loss = typed_loss(options, text);
    if (!loss) return loss.problem();
    typed.losses.push_back(*loss);
  }
  const auto guard = parse_guard_band(options.job.guard.empty() ? "none" : options.job.guard);
  if (!guard) return Problem{{"--guard", {}, 0, {}}, "\"" + options.job.guard + "\"", "none or U", ""};
  typed.channel.guard = *guard;
  return typed;
}

int carry_of_typed(const CarriesOptions& options, const KnownApplications& known, const CarryWish& wish) {
  Result<AnsweredChannel> typed = typed_channel(options);
  if (!typed) return refuse(typed.problem());
  typed->channel.losses = typed->losses;
  const CleanConnections clean = known.clean_connections();
  typed->parts.clean_connection =
      mode_of(*typed->channel.fibre) == FibreMode::multimode ? clean.multimode : clean.single_mode;
  std::string json = "{\"format\":1,\"answers\":[";
  bool holds = true;
  for (const std::uint32_t at : known.table().rows_for(typed->channel.fibre)) {
    const Application& row = known.rows()[at];
    if (!wish.applications.empty() &&
        std::find(wish.applications.begin(), wish.applications.end(), row.name) == wish.applications.end())
      continue;
    const CarryOutcome outcome = known.table().judge(at, typed->channel);
    holds = holds && outcome.carries <= Carries::supported_with;
    const AnswerContext context{row, typed->channel, typed->parts};
    if (!options.json) {
      print_answer(context, outcome, options.working || !wish.applications.empty());
      continue;
    }
    if (json.back() != '[') json += ',';
    JsonMembers members(json);
    append_answer_members(members, context, outcome);
    members.end();
  }
  if (options.json) fmt::print("{}]}}\n", json);
  return wish.applications.empty() || holds ? 0 : 1;
}

int run_carries(const CarriesOptions& options) {
  const auto known = know_applications();
  if (!known) return refuse(known.problem());
  const Result<CarryWish> wish = wish_of(options, **known);
  if (!wish) return refuse(wish.problem());
  return options.fibre.empty() ? carry_of_job(options, **known, *wish)
                               : carry_of_typed(options, **known, *wish);
}

}  // namespace

void add_carries_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<CarriesOptions>();
  CLI::App* command =
      app.add_subcommand("carries", "Which network applications links will carry, as measured");
  command->add_option("--application", options->applications, "Only this one; a part of the name will do");
  command->add_option("--link", options->link, "Only this link, with the working");
  command->add_flag("--working", options->working, "Print the working of every answer");
  command->add_flag("--json", options->json, "Print JSON");
  command->add_option("--fibre,--fiber", options->fibre, "One channel as typed, without a job: its fibre");
  command->add_option("--length", options->length, "Length of that channel, m");
  command->add_option("--loss", options->losses, "Its loss: wavelength and dB, such as 850:1.4");
  command->add_option("--connections", options->connections, "Its mated pairs");
  command->add_option("--attenuation", options->attenuation, "Attenuation of its fibre, dB/km");
  command->add_option("--expanded-uncertainty", options->uncertainty, "Uncertainty of its loss (k = 2), dB");
  command->add_option("--book", options->job.book, "A book instead of files");
  add_file_options(*command, options->job);
  add_rule_options(*command, options->job);
  add_import_options(*command, options->job);
  command->callback([options, &status] { status.value = run_carries(*options); });
}

}  // namespace strandbook
