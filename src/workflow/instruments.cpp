#include "workflow/instruments.hpp"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <set>

#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/json_members.hpp"
#include "edge/exchange/json_node.hpp"
#include "edge/exchange/output_file.hpp"
#include "workflow/user_folders.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_instruments = 50;
constexpr std::size_t longest_text = 300;

Problem wrong(const JsonNode& at, const std::string& file, const std::string& found,
              const std::string& wanted) {
  return {{file, {}, at.line, at.key}, found, wanted, "Nothing was changed."};
}

/// Reads members into texts by their keys; each member must be known and a text of one line.
Result<Done> take_texts(const JsonNode& object, const std::string& file,
                        const std::vector<std::pair<std::string, std::string*>>& targets) {
  for (const JsonNode& member : object.items) {
    const auto target = std::find_if(targets.begin(), targets.end(),
                                     [&](const auto& each) { return each.first == member.key; });
    if (target == targets.end()) continue;
    const bool plain =
        member.kind == JsonKind::text && member.text.size() <= longest_text &&
        std::none_of(member.text.begin(), member.text.end(), [](char c) { return c >= 0 && c < ' '; });
    if (!plain) return wrong(member, file, words_of(member), "a text of one line");
    *target->second = member.text;
  }
  return Done{};
}

const JsonNode* member_of(const JsonNode& object, std::string_view key) {
  for (const JsonNode& member : object.items)
    if (member.key == key) return &member;
  return nullptr;
}

Result<Done> only_known(const JsonNode& object, const std::string& file, const std::set<std::string>& keys) {
  if (object.kind != JsonKind::object) return wrong(object, file, words_of(object), "an object");
  for (const JsonNode& member : object.items)
    if (!keys.contains(member.key)) return wrong(member, file, "a member nobody knows", "none of this name");
  return Done{};
}

Result<Instrument> instrument_from(const JsonNode& node, const std::string& file) {
  if (const Result<Done> done = only_known(node, file, {"name", "address", "commands", "unit"}); !done)
    return done.problem();
  Instrument instrument;
  std::string unit = "dBm";
  const Result<Done> taken =
      take_texts(node, file, {{"name", &instrument.name}, {"address", &instrument.address}, {"unit", &unit}});
  if (!taken) return taken.problem();
  if (const JsonNode* commands = member_of(node, "commands")) {
    if (const Result<Done> done =
            only_known(*commands, file, {"identify", "power", "wavelength", "set_wavelength"});
        !done)
      return done.problem();
    MeterCommands& texts = instrument.commands;
    const Result<Done> read = take_texts(*commands, file,
                                         {{"identify", &texts.identify},
                                          {"power", &texts.power},
                                          {"wavelength", &texts.wavelength},
                                          {"set_wavelength", &texts.set_wavelength}});
    if (!read) return read.problem();
  }
  if (instrument.name.empty()) return wrong(node, file, "a meter without a name", "a name");
  if (instrument.commands.power.empty()) return wrong(node, file, "no command for the power", "one");
  const auto known = parse_power_unit(unit);
  if (!known) return wrong(node, file, "the unit \"" + unit + "\"", "dBm or W");
  instrument.unit = *known;
  if (const auto address = parse_meter_address(instrument.address); !address) {
    Problem problem = address.problem();
    problem.at = {file, {}, node.line, "address"};
    return problem;
  }
  return instrument;
}

}  // namespace

std::string instruments_file() {
  if (const char* named = std::getenv("STRANDBOOK_INSTRUMENTS")) return named;
  return config_folder() + "/instruments.json";
}

std::string instruments_json(const std::vector<Instrument>& instruments) {
  std::string out;
  append_json_list(out, instruments, [&](const Instrument& each) {
    JsonMembers members(out);
    members.text("name", each.name);
    members.text("address", each.address);
    members.name("commands");
    JsonMembers commands(out);
    commands.text("identify", each.commands.identify);
    commands.text("power", each.commands.power);
    commands.text("wavelength", each.commands.wavelength);
    commands.text("set_wavelength", each.commands.set_wavelength);
    commands.end();
    members.text("unit", text_of(each.unit));
    members.end();
  });
  return out;
}

Result<std::vector<Instrument>> instruments_from(std::string_view json, const std::string& name) {
  const Result<JsonNode> list = parse_json(json, name);
  if (!list) return list.problem();
  if (list->kind != JsonKind::list || list->items.size() > most_instruments)
    return wrong(*list, name, words_of(*list), "a list of at most 50 meters");
  std::vector<Instrument> instruments;
  std::set<std::string> names;
  for (const JsonNode& node : list->items) {
    Result<Instrument> one = instrument_from(node, name);
    if (!one) return one.problem();
    if (!names.insert(one->name).second)
      return wrong(node, name, "the name \"" + one->name + "\" twice", "each once");
    instruments.push_back(std::move(*one));
  }
  return instruments;
}

Result<std::vector<Instrument>> known_instruments() {
  const std::string path = instruments_file();
  std::error_code error;
  if (!std::filesystem::exists(path, error)) return std::vector<Instrument>{};
  const Result<std::string> text = read_file_bytes(path);
  if (!text) return text.problem();
  return instruments_from(*text, path);
}

Result<Instrument> instrument_named(const std::string& name) {
  const auto known = known_instruments();
  if (!known) return known.problem();
  for (const Instrument& each : *known)
    if (each.name == name) return each;
  return Problem{{}, "meter \"" + name + "\"", "one that is set up", "Set it up first."};
}

Result<Done> keep_instruments(const std::vector<Instrument>& instruments) {
  const std::filesystem::path path = instruments_file();
  std::error_code error;
  std::filesystem::create_directories(path.parent_path(), error);
  return write_file(path.string(), instruments_json(instruments) + "\n");
}

Result<MeterReading> read_meter(const Instrument& instrument, std::optional<Nanometres> wanted) {
  return ask_meter(instrument, wanted);
}

}  // namespace strandbook
