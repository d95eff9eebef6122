#include "front/service/serve.hpp"

#include <fmt/format.h>
#include <spawn.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>

#include "edge/book/any_store.hpp"
#include "edge/book/device.hpp"
#include "front/service/http_server.hpp"
#include "front/service/service.hpp"
#include "workflow/user_folders.hpp"

extern char** environ;

namespace strandbook {
namespace {

/// The desktop's own way to open an address. Where there is none the printed address does.
void open_screen(const std::string& address) {
  std::string program = "xdg-open";
  std::string argument = address;
  char* arguments[] = {program.data(), argument.data(), nullptr};
  pid_t child = 0;
  if (::posix_spawnp(&child, program.c_str(), nullptr, nullptr, arguments, environ) != 0)
    fmt::print("Open {} in a browser.\n", address);
}

Result<Done> check_paths(const std::vector<std::string>& paths) {
  std::error_code error;
  for (const std::string& path : paths)
    if (!is_postgres_address(path) && !std::filesystem::exists(path, error))
      return Problem{{path, {}, 0, {}},
                     "nothing",
                     "a book or a folder of books",
                     "Begin a book with `book create`, or name a folder."};
  return Done{};
}

/// Somebody must be able to let the others in: the terminal is whoever began the program.
Result<Done> let_the_lead_in(People& people, std::uint16_t port) {
  const Result<PeopleList> list = people.list();
  if (!list) return list.problem();
  const bool has_lead = std::any_of(list->sessions.begin(), list->sessions.end(),
                                    [](const Session& each) { return each.role == Role::lead; });
  if (has_lead) {
    fmt::print("Let people in under \u201CPeople\u201D, or with `strandbook people invite`.\n");
    return Done{};
  }
  const Result<Invited> invited = people.invite("lead", Role::lead);
  if (!invited) return invited.problem();
  fmt::print("Code for the lead, to be typed at https://127.0.0.1:{}/pair: {}\n", port, invited->code);
  return Done{};
}

}  // namespace

std::string people_file() { return state_folder() + "/people.json"; }

Result<Done> serve(const ServeOptions& options) {
  if (Result<Done> done = check_paths(options.paths); !done) return done;
  ServerOptions where;
  where.port = options.port;
  std::unique_ptr<People> people;
  std::unique_ptr<Pairing> pairing;
  if (options.sharing == Sharing::network) {
    const Result<CertificateFiles> files = own_certificate(state_folder());
    if (!files) return files.problem();
    where.address = "0.0.0.0";
    where.certificate_file = files->certificate;
    where.key_file = files->key;
    fmt::print("Certificate SHA-256 {}\n", files->fingerprint);
    people = std::make_unique<People>(people_file(), system_surroundings().now_ms);
    pairing = std::make_unique<Pairing>(*people, [] { return std::chrono::steady_clock::now(); });
  }
  Service service(options.paths, pairing.get());
  Result<std::unique_ptr<HttpServer>> server = HttpServer::listen(where, service);
  if (!server) return server.problem();
  const std::string address =
      fmt::format("{}://127.0.0.1:{}/", where.certificate_file.empty() ? "http" : "https", (*server)->port());
  if (people)
    if (Result<Done> told = let_the_lead_in(*people, (*server)->port()); !told) return told;
  fmt::print("strandbook serves at {}\nEnd with Ctrl-C.\n", address);
  std::fflush(stdout);
  if (options.open_screen) open_screen(address);
  (*server)->run([&service] { service.stop(); });
  return Done{};
}

}  // namespace strandbook
