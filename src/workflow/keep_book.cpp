#include "workflow/keep_book.hpp"

#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>

#include "edge/book/any_store.hpp"
#include "edge/book/device.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "workflow/know_profiles.hpp"
#include "workflow/unpacked_package.hpp"
#include "workflow/user_folders.hpp"

namespace strandbook {
namespace {

Result<OpenBook> with_device(Result<std::unique_ptr<Store>> store) {
  if (!store) return store.problem();
  const Result<Device> device = load_or_create_device(device_file(), system_surroundings());
  if (!device) return device.problem();
  const Result<Uuid> id = (*store)->book_id();
  if (!id) return id.problem();
  return OpenBook{{}, std::move(*store), in_book(*device, *id)};
}

/// One file: read, understood, and kept with its bytes.
Result<FileKept> keep_file(OpenBook& book, ImportPurpose purpose, const std::string& path,
                           const ImportChoices& choices, const Schedule& schedule) {
  const Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  const std::string name = std::filesystem::path(path).filename().string();
  const Result<std::vector<Grid>> sheets = read_grids_from_bytes(*bytes, name);
  if (!sheets) return sheets.problem();
  Result<BroughtIn> brought = understand(*sheets, purpose, choices, schedule);
  if (!brought) return brought.problem();
  const ImportedFile file{name, *bytes, purpose, understood_as(choices), brought->notes};
  const RowsToAdd rows = rows_of(*brought);
  const Result<Imported> imported = add_import(*book.store, book.device, file, rows);
  if (!imported) return imported.problem();
  return FileKept{words_for(file, rows, *imported), std::move(brought->unread), std::move(brought->notes)};
}

/// One file of traces, kept with its bytes even where it holds none.
Result<FileKept> keep_traces(OpenBook& book, const std::string& path, const TraceChoices& choices) {
  const Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  const std::string name = std::filesystem::path(path).filename().string();
  BroughtIn brought = understand_trace_file(*bytes, name, choices);
  const ImportedFile file{name, *bytes, ImportPurpose::traces, understood_as(choices), brought.notes};
  const RowsToAdd rows = rows_of(brought);
  const Result<Imported> imported = add_import(*book.store, book.device, file, rows);
  if (!imported) return imported.problem();
  return FileKept{words_for(file, rows, *imported), std::move(brought.unread), std::move(brought.notes)};
}

/// A choice that would be lost on the way into the book must be refused, not passed over.
std::optional<Problem> what_a_book_cannot_settle(const JobSettings& settings) {
  const auto refused = [](const char* option, const char* advice) {
    return Problem{{option, {}, 0, {}}, "a choice that a book does not hold", "", advice};
  };
  if (settings.own_rule_files.size() + settings.own_rule_texts.size() > 1)
    return refused("--rule-file", "A book holds one rule of the job's own: put the numbers into one file.");
  if (!settings.uncertainty_file.empty()) return refused("--uncertainty", "Give it with assess and report.");
  if (settings.confirmed_repairs != 0) return refused("--confirm", "Give it with assess and report.");
  if (settings.reference_valid_s) return refused("--reference-valid", "Give it with assess and report.");
  return std::nullopt;
}

}  // namespace

std::string understood_as(const ImportChoices& choices) {
  return fmt::format("columns={};loss_sign={};dates={}", choices.columns, static_cast<int>(choices.loss_sign),
                     static_cast<int>(choices.date_order));
}

std::string words_for(const ImportedFile& file, const RowsToAdd& rows, const Imported& imported) {
  const std::size_t readings = rows.readings == nullptr ? 0 : rows.readings->rows.size();
  std::string words = fmt::format("{}: {}", file.name, imported.note);
  if (imported.outcome == ImportOutcome::already_in_book) return words;
  if (!imported.note.empty()) words += ' ';
  if (file.purpose == ImportPurpose::document) return fmt::format("{}: enclosed", file.name);
  const std::size_t left = rows.unread.size();
  if (file.purpose == ImportPurpose::calibrations)
    return words + fmt::format("{} calibrations, {} rows not used", rows.calibrations.size(), left);
  if (file.purpose == ImportPurpose::traces)
    return words + fmt::format("{} traces, {} not used", rows.traces.size(), left);
  if (file.purpose == ImportPurpose::continuity)
    return words + fmt::format("{} light paths, {} rows not used", rows.light_paths.size(), left);
  return words + fmt::format("{} strands, {} references, {} readings, {} rows not used", rows.strands.size(),
                             rows.references.size(), readings, left);
}

std::string device_file() {
  if (const char* named = std::getenv("STRANDBOOK_DEVICE")) return named;
  return state_folder() + "/device";
}

Result<OpenBook> create_book(const std::string& path, const std::string& job_name) {
  Result<OpenBook> book = with_device(create_store(path, system_surroundings()));
  if (!book) return book;
  const Result<Uuid> named = set_job(*book->store, book->device, {job_name, {}});
  if (!named) return named.problem();
  return book;
}

Result<OpenBook> open_book(const std::string& path) {
  return with_device(open_store(path, system_surroundings()));
}

Result<OpenBook> open_to_read(const std::string& path) {
  if (is_postgres_address(path) || !is_package(path)) return open_book(path);
  Result<UnpackedPackage> package = UnpackedPackage::open(path);
  if (!package) return package.problem();
  const auto kept = std::make_shared<const UnpackedPackage>(std::move(*package));
  Result<OpenBook> book = kept->book();
  if (book) book->scratch = kept;
  return book;
}

Result<std::vector<FileKept>> add_files(OpenBook& book, const JobFiles& files, const ImportChoices& choices) {
  std::vector<FileKept> kept;
  Schedule schedule;
  bool schedule_known = false;  // read from the book once, when the first file of readings needs it
  for (const auto& [purpose, path] : in_reading_order(files)) {
    if (purpose == ImportPurpose::readings && !schedule_known) {
      Result<BookState> known = current_schedule(*book.store);
      if (!known) return known.problem();
      schedule = std::move(known->schedule);
      schedule_known = true;
    }
    Result<FileKept> one = keep_file(book, purpose, path, choices, schedule);
    if (!one) return one.problem();
    kept.push_back(std::move(*one));
  }
  std::vector<Problem> unread;
  for (const std::string& path : trace_files(files.traces, unread)) {
    Result<FileKept> one = keep_traces(book, path, files.trace_choices);
    if (!one) return one.problem();
    kept.push_back(std::move(*one));
  }
  if (!unread.empty()) return unread.front();
  return kept;
}

Result<Done> settle_rule(OpenBook& book, const JobSettings& settings, const Ground& ground) {
  if (const auto lost = what_a_book_cannot_settle(settings)) return *lost;
  RuleChoice choice{.rule = settings.rule,
                    .own_rule_text = {},
                    .profile_text = settings.profile_text,
                    .guard = settings.guard,
                    .fixed_limit = settings.fixed_limit,
                    .wavelengths = settings.wavelengths,
                    .directions = settings.directions,
                    .method = settings.method,
                    .cords = settings.cords,
                    .configuration = settings.configuration,
                    .person = ground.person,
                    .reason = ground.reason};
  if (!settings.own_rule_texts.empty()) choice.own_rule_text = settings.own_rule_texts.front();
  if (!settings.own_rule_files.empty()) {
    Result<std::string> text = read_file_bytes(settings.own_rule_files.front());
    if (!text) return text.problem();
    choice.own_rule_text = std::move(*text);
  }
  const Result<KnownRules> known = know_rules(own_rules_of(settings), {});
  if (!known) return known.problem();
  if (!choice.rule.empty()) {
    const Result<const RuleSet*> rule = rule_by_id(*known->rulebook, choice.rule);
    if (!rule) return rule.problem();
  }
  const Result<Uuid> chosen = choose_rule(*book.store, book.device, choice);
  if (!chosen) return chosen.problem();
  return Done{};
}

JobSettings settings_of(const RuleChoice& choice) {
  JobSettings settings;
  settings.rule = choice.rule;
  if (!choice.own_rule_text.empty()) settings.own_rule_texts.push_back(choice.own_rule_text);
  settings.profile_text = choice.profile_text;
  settings.fixed_limit = choice.fixed_limit;
  settings.guard = choice.guard;
  settings.wavelengths = choice.wavelengths;
  settings.directions = choice.directions;
  settings.method = choice.method;
  settings.cords = choice.cords;
  settings.configuration = choice.configuration;
  return settings;
}

Result<JobSettings> settled(const std::vector<Held<RuleChoice>>& choices, const JobSettings& given) {
  JobSettings settings = given;
  if (choices.empty()) return settings;
  const RuleChoice& choice = choices.back().value;
  // Nothing that the book settled goes before what a profile given now settles.
  const bool owner_given = !given.profile_text.empty();
  if (!settings.fixed_limit && (!owner_given || given.rule.empty()))
    settings.fixed_limit = choice.fixed_limit;
  if (settings.rule.empty()) {
    settings.rule = choice.rule;
    if (!choice.own_rule_text.empty()) settings.own_rule_texts.push_back(choice.own_rule_text);
  }
  if (!settings.guard) settings.guard = choice.guard;
  if (settings.wavelengths.empty() && given.demands.empty()) settings.wavelengths = choice.wavelengths;
  if (!settings.directions && given.demands.empty()) settings.directions = choice.directions;
  if (!settings.method) settings.method = choice.method;
  if (!settings.cords) settings.cords = choice.cords;
  if (!settings.configuration) settings.configuration = choice.configuration;
  if (owner_given || choice.profile_text.empty()) return settings;
  const Result<ProfileFile> profile = read_profile_text(choice.profile_text, "profile in the book");
  if (!profile) return profile.problem();
  return with_demands(std::move(settings), *profile);
}

Result<JudgedWork> judge_book(const OpenBook& book, const JobSettings& given, const Progress& progress) {
  Result<BookState> state = current_state(*book.store, progress);
  if (!state) return state.problem();
  return judge_state(*state, given);
}

Result<JudgedWork> judge_state(BookState& state, const JobSettings& given) {
  Result<JobSettings> settings = settled(state.rule_choices, given);
  if (!settings) return settings.problem();
  if (settings->name.empty()) settings->name = state.name;
  BroughtIn brought;
  brought.input.schedule = std::move(state.schedule);
  brought.input.references = std::move(state.references);
  brought.input.readings = std::move(state.readings);
  brought.input.records = std::move(state.records);
  brought.input.traces = std::move(state.traces);
  brought.unread = std::move(state.unread);
  for (Problem& repeated : state.repeated) brought.unread.push_back(std::move(repeated));
  for (const auto& import : state.imports)
    brought.notes.insert(brought.notes.end(), import.value.notes.begin(), import.value.notes.end());
  return judge_job(std::move(brought), *settings);
}

Result<std::string> kept_file(const Store& store, const std::string& kept) {
  const Problem lost{
      {}, "a file that the book does not hold", "its bytes", "Check the book with `strandbook book verify`."};
  const std::optional<Sha256> hash = parse_sha256(kept);
  if (!hash) return lost;
  Result<std::optional<std::string>> bytes = store.file(*hash);
  if (!bytes) return bytes.problem();
  if (!*bytes) return lost;
  return std::move(**bytes);
}

KeptFiles files_of(const std::shared_ptr<const OpenBook>& book) {
  return [book](const std::string& kept) { return kept_file(*book->store, kept); };
}

}  // namespace strandbook
