#include <fmt/format.h>

#include <cmath>

#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/engineer_link.hpp"

namespace strandbook {
namespace {

struct EngineerOptions {
  std::string application;
  std::string fibre;
  std::string length;
  std::string connection_loss;
  std::string connections;
  std::string loss_each;
  std::string attenuation;
  std::string modal_bandwidth;
  std::string spectral_width;
  bool json = false;
  bool sources = false;
};

Result<Decibels> connection_loss(const EngineerOptions& options) {
  const bool total = !options.connection_loss.empty();
  const bool counted = !options.connections.empty() || !options.loss_each.empty();
  if (total == counted)
    return Problem{{"--connection-loss", {}, 0, {}},
                   total ? "the loss of all connections and also their count" : "no loss of connections",
                   "--connection-loss DB, or --connections COUNT with --loss-each DB",
                   ""};
  if (total) {
    const Result<double> loss =
        number_option("--connection-loss", options.connection_loss, "dB, such as 0.9");
    if (!loss) return loss.problem();
    return Decibels{*loss};
  }
  const Result<double> count = number_option("--connections", options.connections, "a whole number");
  if (!count) return count.problem();
  const Result<double> each = number_option("--loss-each", options.loss_each, "dB, such as 0.3");
  if (!each) return each.problem();
  if (!(*count >= 0 && *count <= 1000) || *count != std::floor(*count) || *each < 0)
    return Problem{{"--connections", {}, 0, {}},
                   fmt::format("{} of {} dB", options.connections, options.loss_each),
                   "a whole number, 0 to 1000, of connections that lose 0 dB or more",
                   ""};
  return *count * Decibels{*each};
}

Result<Done> take_own(const char* option, const std::string& text, std::optional<double>& target) {
  if (text.empty()) return Done{};
  const Result<double> value = number_option(option, text, "a number");
  if (!value) return value.problem();
  target = *value;
  return Done{};
}

Result<EngineerQuestion> question_from(const EngineerOptions& options) {
  EngineerQuestion question;
  question.application = options.application;
  question.fibre = options.fibre;
  const Result<double> length = number_option("--length", options.length, "metres, such as 350");
  if (!length) return length.problem();
  question.length = {*length};
  const Result<Decibels> connections = connection_loss(options);
  if (!connections) return connections.problem();
  question.connections = *connections;
  const Result<Done> own[] = {
      take_own("--attenuation", options.attenuation, question.attenuation_db_per_km),
      take_own("--modal-bandwidth", options.modal_bandwidth, question.modal_bandwidth_mhz_km),
      take_own("--spectral-width", options.spectral_width, question.rms_width_nm)};
  for (const Result<Done>& each : own)
    if (!each) return each.problem();
  return question;
}

void print_term(const char* sign, std::string_view name, Decibels value) {
  fmt::print("  {} {:<52} {}\n", sign, name,
             std::isfinite(value.value) ? fmt::format("{:>8.3f} dB", value.value) : "the eye is closed");
}

void print_working(const EngineeredLink& link) {
  const LinkModelResult& result = link.result;
  print_term(" ", "budget: transmitter less sensitivity", result.budget);
  print_term("−", "connections", link.question.connections);
  print_term("−",
             fmt::format("fibre: {:.4g} km × {:.3f} dB/km at {:.4g} nm", link.question.length.value / 1000,
                         result.attenuation.value, link.row.inputs.wavelength_nm),
             result.fibre_loss);
  print_term("−", "intersymbol interference", result.isi);
  print_term("−", "jitter", result.jitter);
  print_term("−", "reflections", result.reflection);
  print_term("−", "mode partition noise", result.mode_partition);
  print_term("−", "relative intensity noise", result.relative_intensity);
  print_term("−", "modal noise", result.modal_noise);
  print_term("−", "interaction of the noises", result.interaction);
  print_term("=", "margin", result.margin);
}

void print_split(const char* name, const LossSplit& split) {
  fmt::print("  {}: {:.2f} dB at {:.5g} m = fibre {:.2f} dB + connections {:.2f} dB\n", name,
             (split.fibre + split.connections).value, split.length.value, split.fibre.value,
             split.connections.value);
}

void print_sources(const LinkModelRow& row) {
  fmt::print("\n{}\n", heading("Inputs"));
  for (const SourcedInput& input : row.given) {
    fmt::print("  {:<26} {:g} {}\n      {}\n", input.field->name, input.value, input.field->unit,
               wrapped(describe(input.source), 6));
    if (!input.source.note.empty()) fmt::print("      {}\n", wrapped("Note: " + input.source.note, 6));
  }
  fmt::print("  {:<26} {:g} m\n      {}\n", "target_length", row.inputs.target_length_m,
             wrapped(describe(row.target_source), 6));
  fmt::print("  {:<26} {:g} dB\n      {}\n", "connection_allocation", row.connection_allocation.value,
             wrapped(describe(row.allocation_source), 6));
}

void print_text(const EngineeredLink& link) {
  fmt::print("{}  ({} over {}: {}; {:g} m)\n\n", heading(link.carries ? "Carries" : "Does not carry"),
             link.row.applications.front(), link.question.fibre, link.row.fibre, link.question.length.value);
  print_working(link);
  fmt::print("\n  Reach with these connections: {}\n",
             link.reach ? fmt::format("{:.1f} m", std::floor(link.reach->value * 10) / 10) : "none");
  if (link.here) print_split("The most this length may lose", *link.here);
  print_split("The standard's limit", link.of_the_standard);
  for (const std::string& note : link.notes) fmt::print("\n  {}\n", wrapped(note, 2));
}

int run_engineer(const EngineerOptions& options) {
  const Result<EngineerQuestion> question = question_from(options);
  if (!question) return refuse(question.problem());
  const Result<EngineeredLink> link = engineer_link(*question);
  if (!link) return refuse(link.problem());
  if (options.json) {
    fmt::print("{}\n", engineered_link_json(*link));
  } else {
    print_text(*link);
    if (options.sources) print_sources(link->row);
  }
  return link->carries ? 0 : 1;
}

}  // namespace

void add_engineer_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<EngineerOptions>();
  CLI::App* command =
      app.add_subcommand("engineer", "Whether a link beyond the tables carries a 1 or 10 Gb/s application");
  command->add_option("--application", options->application, "Such as 10GBASE-SR")->required();
  command->add_option("--fibre,--fiber", options->fibre, "OM1 to OM5, OS2, or its bandwidth, such as 50/400")
      ->required();
  command->add_option("--length", options->length, "Length, m")->required();
  command->add_option("--connection-loss", options->connection_loss,
                      "All connections and splices together, dB");
  command->add_option("--connections", options->connections, "Mated pairs, with --loss-each");
  command->add_option("--loss-each", options->loss_each, "Loss of each connection, dB");
  command->add_option("--attenuation", options->attenuation,
                      "The cable's own, dB/km, at the application's 850, 1310 or 1550 nm");
  command->add_option("--modal-bandwidth", options->modal_bandwidth,
                      "The cable's own, MHz·km, effective, at the application's wavelength");
  command->add_option("--spectral-width", options->spectral_width, "The transmitter's own, nm RMS");
  command->add_flag("--sources", options->sources, "Print every input with its source");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_engineer(*options); });
}

}  // namespace strandbook
