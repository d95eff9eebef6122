#include <fmt/format.h>

#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "workflow/instruments.hpp"

namespace strandbook {
namespace {

struct MeterOptions {
  Instrument instrument;
  std::string name;
  std::string unit = "dBm";
  std::string wavelength;
};

Result<Instrument> instrument_of(const MeterOptions& options) {
  if (!options.name.empty()) return instrument_named(options.name);
  Instrument instrument = options.instrument;
  const auto unit = parse_power_unit(options.unit);
  if (!unit) return Problem{{"--unit", {}, 0, {}}, "\"" + options.unit + "\"", "dBm or W", ""};
  instrument.unit = *unit;
  return instrument;
}

int read_once(const MeterOptions& options) {
  const Result<Instrument> instrument = instrument_of(options);
  if (!instrument) return refuse(instrument.problem());
  std::optional<Nanometres> wanted;
  if (!options.wavelength.empty()) {
    const Result<double> nm = number_option("--wavelength", options.wavelength, "nm, such as 1310");
    if (!nm) return refuse(nm.problem());
    wanted = Nanometres{*nm};
  }
  const Result<MeterReading> reading = read_meter(*instrument, wanted);
  if (!reading) {
    refuse(reading.problem());
    return 1;
  }
  fmt::print("{:.3f} dBm", reading->power.value);
  if (reading->wavelength) fmt::print(" at {:.10g} nm", reading->wavelength->value);
  fmt::print("{}{}\n", reading->identity.empty() ? "" : "  ", reading->identity);
  return 0;
}

int list_all() {
  const auto known = known_instruments();
  if (!known) return refuse(known.problem());
  for (const Instrument& each : *known)
    fmt::print("{:<20} {} ({})\n", each.name, each.address, text_of(each.unit));
  return 0;
}

}  // namespace

void add_meter_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<MeterOptions>();
  CLI::App* command = app.add_subcommand("meter", "Power meters that speak SCPI, over TCP or a serial line");
  command->require_subcommand(1);
  CLI::App* list = command->add_subcommand("list", "The meters that are set up");
  list->callback([&status] { status.value = list_all(); });
  CLI::App* read = command->add_subcommand("read", "One reading");
  auto* name = read->add_option("--name", options->name, "A meter that is set up");
  auto* address = read->add_option("--address", options->instrument.address,
                                   "tcp://HOST:PORT or serial:/dev/NAME?baud=9600");
  name->excludes(address);
  MeterCommands& texts = options->instrument.commands;
  read->add_option("--unit", options->unit, "dBm or W: what the meter answers in");
  read->add_option("--wavelength", options->wavelength, "Set the meter to this wavelength first, nm");
  read->add_option("--identify-command", texts.identify, "Empty: not sent")->capture_default_str();
  read->add_option("--power-command", texts.power, "")->capture_default_str();
  read->add_option("--wavelength-command", texts.wavelength, "Empty: not sent")->capture_default_str();
  read->add_option("--set-wavelength-command", texts.set_wavelength, "{nm} stands for the wavelength")
      ->capture_default_str();
  read->callback([options, &status] { status.value = read_once(*options); });
}

}  // namespace strandbook
