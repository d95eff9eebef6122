// Who may come in over the network: for a server without a screen, and for the first lead.

#include <fmt/format.h>

#include "edge/book/device.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "front/service/invitation_link.hpp"
#include "front/service/people.hpp"
#include "front/service/qr_on_terminal.hpp"
#include "front/service/serve.hpp"

namespace strandbook {
namespace {

struct PeopleOptions {
  std::string name;
  std::string role = "crew";
  std::string id;
  std::uint16_t port = ServeOptions{}.port;
};

People known_people() { return {people_file(), system_surroundings().now_ms}; }

std::string moment(Millis at) { return iso_text({at / 1000, true, true, true}); }

int invite(const PeopleOptions& options) {
  const std::optional<Role> role = parse_role(options.role);
  if (!role) return refuse(bad_option("--role", options.role, "reads, crew or lead"));
  People people = known_people();
  const Result<Invited> invited = people.invite(options.name, *role);
  if (!invited) return refuse(invited.problem());
  const std::vector<std::string> links = invitation_links(options.port, invited->code);
  if (!links.empty()) fmt::print("{}\n", qr_for_terminal(links.front()));
  for (const std::string& link : links) fmt::print("{}\n", link);
  fmt::print("Code: {} (works once, until {})\n", invited->code, moment(invited->invitation.until));
  return 0;
}

int list(const PeopleOptions&) {
  const Result<PeopleList> list = known_people().list();
  if (!list) return refuse(list.problem());
  for (const Session& each : list->sessions)
    fmt::print("{}  {} ({})  joined {}, seen {}\n    {}\n", each.id, wrapped(each.name, 4),
               text_of(each.role), moment(each.joined), moment(each.seen), wrapped(each.device, 4));
  for (const Invitation& each : list->invitations)
    fmt::print("{}  {} ({})  invited, until {}\n", each.id, each.name, text_of(each.role),
               moment(each.until));
  return 0;
}

int cut_off(const PeopleOptions& options) {
  const Result<bool> gone = known_people().cut_off(options.id);
  if (!gone) return refuse(gone.problem());
  if (!*gone)
    return refuse({{"id", {}, 0, {}},
                   "\"" + options.id + "\"",
                   "a device or an invitation",
                   "`strandbook people list` shows them."});
  fmt::print("Cut off.\n");
  return 0;
}

}  // namespace

void add_people_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<PeopleOptions>();
  CLI::App* command =
      app.add_subcommand("people", "Who may come in where books are shared (`serve --share`)");
  command->require_subcommand(1);
  const auto action = [&](const char* name, const char* words, int (*run)(const PeopleOptions&)) {
    CLI::App* made = command->add_subcommand(name, words);
    made->callback([options, &status, run] { status.value = run(*options); });
    return made;
  };
  CLI::App* in = action("invite", "Let a person in: a code that works once, for fifteen minutes", invite);
  in->add_option("name", options->name, "The person, as facts shall name them")->required();
  in->add_option("--role", options->role, "reads, crew (adds) or lead (rules, corrections, handover, people)")
      ->capture_default_str();
  in->add_option("--port", options->port, "Port of the program that serves")->capture_default_str();
  action("list", "Devices that joined, and invitations that are open", list);
  CLI::App* out = action("cut-off", "End a device's right to come in, or an invitation", cut_off);
  out->add_option("id", options->id, "Its id, from `people list`")->required();
}

}  // namespace strandbook
