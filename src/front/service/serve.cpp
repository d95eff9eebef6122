#include "front/service/serve.hpp"

#include <fmt/format.h>
#include <spawn.h>

#include <cstdio>
#include <filesystem>

#include "edge/book/any_store.hpp"
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

void show_code(const std::string& code) {
  fmt::print("Code for the next device to join, to be typed at /pair: {}\n", code);
  std::fflush(stdout);
}

}  // namespace

Result<Done> serve(const ServeOptions& options) {
  if (Result<Done> done = check_paths(options.paths); !done) return done;
  ServerOptions where;
  where.port = options.port;
  std::unique_ptr<Pairing> pairing;
  if (options.sharing == Sharing::network) {
    const Result<CertificateFiles> files = own_certificate(state_folder());
    if (!files) return files.problem();
    where.address = "0.0.0.0";
    where.certificate_file = files->certificate;
    where.key_file = files->key;
    fmt::print("Certificate SHA-256 {}\n", files->fingerprint);
    pairing = std::make_unique<Pairing>(show_code, [] { return std::chrono::steady_clock::now(); });
  }
  Service service(options.paths, pairing.get());
  Result<std::unique_ptr<HttpServer>> server = HttpServer::listen(where, service);
  if (!server) return server.problem();
  const std::string address =
      fmt::format("{}://127.0.0.1:{}/", where.certificate_file.empty() ? "http" : "https", (*server)->port());
  fmt::print("strandbook serves at {}\nEnd with Ctrl-C.\n", address);
  std::fflush(stdout);
  if (options.open_screen) open_screen(address);
  (*server)->run([&service] { service.stop(); });
  return Done{};
}

}  // namespace strandbook
