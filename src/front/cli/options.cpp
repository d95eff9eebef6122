#include "front/cli/options.hpp"

#include <fmt/format.h>

#include <charconv>
#include <filesystem>
#include <tuple>

#include "edge/report/legible.hpp"
#include "workflow/know_profiles.hpp"

namespace strandbook {
namespace {

/// Sets `target` from the text of an option, where one was given.
template <class T, class Parse>
Result<Done> take(const std::string& option, const std::string& text, Parse parse, const std::string& wanted,
                  std::optional<T>& target) {
  if (text.empty()) return Done{};
  target = parse(text);
  if (!target) return bad_option(option, text, wanted);
  return Done{};
}

Result<std::vector<Nanometres>> wavelengths_of(const std::string& text) {
  std::vector<Nanometres> list;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find_first_of(", ;/", at), text.size());
    if (end > at) {
      const Result<double> nm =
          number_option("--wavelengths", text.substr(at, end - at), "wavelengths in nm, such as 1310,1550");
      if (!nm) return nm.problem();
      if (*nm < 400 || *nm > 2000) return bad_option("--wavelengths", text, "wavelengths in nm, 400 to 2000");
      list.push_back({*nm});
    }
    at = end + 1;
  }
  return list;
}

Result<Done> take_numbers(const JobOptions& options, JobSettings& settings) {
  if (!options.limit_db.empty()) {
    const Result<double> limit = number_option("--limit", options.limit_db, "a limit in dB, such as 1.62");
    if (!limit) return limit.problem();
    if (*limit < 0 || *limit > 100) return bad_option("--limit", options.limit_db, "a limit of 0 to 100 dB");
    settings.fixed_limit = Decibels{*limit};
  }
  if (!options.reference_hours.empty()) {
    const Result<double> hours =
        number_option("--reference-valid", options.reference_hours, "hours, such as 8");
    if (!hours) return hours.problem();
    if (*hours <= 0 || *hours > 8760)
      return bad_option("--reference-valid", options.reference_hours, "hours, 0 to 8760");
    settings.reference_valid_s = static_cast<std::int64_t>(*hours * 3600);
  }
  Result<std::vector<Nanometres>> wavelengths = wavelengths_of(options.wavelengths);
  if (!wavelengths) return wavelengths.problem();
  settings.wavelengths = std::move(*wavelengths);
  return Done{};
}

Result<Done> take_choices(const JobOptions& options, JobSettings& settings) {
  const Result<Done> taken[] = {
      take("--directions", options.directions, parse_direction_demand, "either or both", settings.directions),
      take("--reference-method", options.method, parse_reference_method, "one-cord, two-cord or three-cord",
           settings.method),
      take("--cord-grade", options.cords, parse_cord_grade, "reference or standard", settings.cords),
      take("--configuration", options.configuration, parse_configuration, "link or channel",
           settings.configuration)};
  for (const Result<Done>& each : taken)
    if (!each) return each.problem();
  if (options.guard == "U")
    settings.guard = GuardBand::expanded_uncertainty;
  else if (options.guard == "none")
    settings.guard = GuardBand::none;
  else if (!options.guard.empty())
    return bad_option("--guard", options.guard, "none or U");
  for (const std::string& text : options.confirm) {
    const auto repair = parse_name_repair(text);
    if (!repair) return bad_option("--confirm", text, "padding, separators, letters or exponent");
    settings.confirmed_repairs =
        static_cast<NameRepairs>(settings.confirmed_repairs | static_cast<NameRepairs>(*repair));
  }
  return Done{};
}

}  // namespace

void add_file_options(CLI::App& command, JobOptions& options) {
  command.add_option("-s,--schedule", options.files.schedules, "Cable schedule: delimited text, XLSX or ODS");
  command.add_option("-r,--readings", options.files.readings,
                     "Readings of the day; may be given several times");
  command.add_option("-f,--references", options.files.references,
                     "References: power with the test cords only");
  command.add_option("--calibrations", options.files.calibrations,
                     "Certificates of the instruments: instrument, calibrated on, valid through");
  command.add_option("--continuity", options.files.continuity,
                     "Where light came out: port it was sent into, port it was seen at");
}

void add_trace_options(CLI::App& command, JobOptions& options) {
  command.add_option("--traces", options.files.traces, "OTDR traces: files, or folders of them");
  command.add_option("--trace-names", options.trace_pattern,
                     "How names of trace files hold the strand: {link}_{strand}_{direction}");
  command.add_option("--launch", options.launch,
                     "Length of the traces' launch cord, m, where they do not say");
  command.add_option("--receive", options.receive, "Length of their receive cord, m");
}

Result<JobFiles> job_files(const JobOptions& options) {
  JobFiles files = options.files;
  files.trace_choices.pattern = options.trace_pattern;
  const std::tuple<const char*, const std::string&, std::optional<Metres>&> lengths[] = {
      {"--launch", options.launch, files.trace_choices.given.launch},
      {"--receive", options.receive, files.trace_choices.given.receive}};
  for (const auto& [name, text, into] : lengths) {
    if (text.empty()) continue;
    const Result<double> metres = number_option(name, text, "metres, such as 150");
    if (!metres) return metres.problem();
    into = Metres{*metres};
  }
  return files;
}

void add_import_options(CLI::App& command, JobOptions& options) {
  command.add_option(
      "--columns", options.columns,
      "Columns the headings do not tell: \"loss_db=IL; wavelength_nm:=1310\", or a file with that");
  command.add_option("--loss-sign", options.loss_sign,
                     "as-written, or change-of-level where losses are written negative");
  command.add_option("--dates", options.dates, "day-first or month-first, where the file does not prove it");
}

void add_rule_options(CLI::App& command, JobOptions& options) {
  command.add_option("--profile", options.profile,
                     "An owner's profile, by id or file; the options below go before it");
  command.add_option("--rule", options.rule, "Rule set of the job, such as iso-14763-3-2024");
  command.add_option("--rule-file", options.own_rule_files, "A rule file of your own (docs/rule-files.md)");
  command.add_option("--limit", options.limit_db, "One limit for every strand, dB, as the owner fixed it");
  command.add_option("--guard", options.guard,
                     "Guard band of the decision: none, or U for the expanded uncertainty");
  command.add_option("--wavelengths", options.wavelengths, "Wavelengths due, nm: 1310,1550");
  command.add_option("--directions", options.directions, "Directions due: either or both");
  command.add_option("--reference-method", options.method,
                     "one-cord, two-cord or three-cord, where no record says it");
  command.add_option("--cord-grade", options.cords, "Test cords: reference or standard");
  command.add_option("--configuration", options.configuration, "What is tested: link or channel");
  command.add_option("--reference-valid", options.reference_hours,
                     "Hours after which a reference no longer counts");
  command.add_option("--uncertainty", options.uncertainty_file,
                     "Uncertainty contributions of your own instruments");
  command
      .add_option("--confirm", options.confirm,
                  "Accept names that differ by: padding, separators, letters, exponent")
      ->delimiter(',');
  command.add_option("--name", options.name, "Name of the job in the results");
}

Problem bad_option(const std::string& option, const std::string& found, const std::string& wanted) {
  return {{option, {}, 0, {}}, "\"" + found + "\"", wanted, ""};
}

Result<double> number_option(const std::string& option, const std::string& text, const std::string& wanted) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !(value > -1e12 && value < 1e12))
    return bad_option(option, text, wanted);
  return value;
}

Result<JobSettings> job_settings(const JobOptions& options) {
  JobSettings settings;
  settings.name = options.name;
  settings.rule = options.rule;
  settings.own_rule_files = options.own_rule_files;
  settings.uncertainty_file = options.uncertainty_file;
  if (const Result<Done> done = take_numbers(options, settings); !done) return done.problem();
  if (const Result<Done> done = take_choices(options, settings); !done) return done.problem();
  if (options.profile.empty()) return settings;
  const Result<ProfileFile> profile = profile_named(options.profile);
  if (!profile) return profile.problem();
  return under_profile(std::move(settings), *profile);
}

Result<ImportChoices> import_choices(const JobOptions& options) {
  ImportChoices choices;
  choices.columns = options.columns;
  std::error_code error;
  if (!options.columns.empty() && std::filesystem::is_regular_file(options.columns, error)) {
    Result<std::string> text = read_map_file(options.columns);
    if (!text) return text.problem();
    choices.columns = std::move(*text);
  }
  if (options.loss_sign == "change-of-level")
    choices.loss_sign = LossSign::change_of_level;
  else if (!options.loss_sign.empty() && options.loss_sign != "as-written")
    return bad_option("--loss-sign", options.loss_sign, "as-written or change-of-level");
  if (options.dates == "day-first")
    choices.date_order = DateOrder::day_first;
  else if (options.dates == "month-first")
    choices.date_order = DateOrder::month_first;
  else if (!options.dates.empty())
    return bad_option("--dates", options.dates, "day-first or month-first");
  return choices;
}

int refuse(const Problem& problem) {
  fmt::print(stderr, "strandbook: {}\n", legible(describe(problem)));
  return 2;
}

void add_scope_options(CLI::App& command, Scope& scope) {
  const auto names = [&command](const char* option, std::vector<std::string>& into, const char* what) {
    command.add_option(option, into, what)->group("Part of the job")->allow_extra_args(false);
  };
  names("--building", scope.buildings, "Only this building; again for more");
  names("--panel", scope.panels, "Only strands that end on this panel; again for more");
  names("--cable", scope.cables, "Only this cable; again for more");
  names("--link", scope.links, "Only this link; again for more");
  names("--operator", scope.operators, "Only what this crew or person read; again for more");
}

}  // namespace strandbook
