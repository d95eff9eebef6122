#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/service/serve.hpp"

namespace strandbook {

void add_serve_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<ServeOptions>();
  auto share = std::make_shared<bool>(false);
  CLI::App* command = app.add_subcommand("serve", "Serve books to the screens in a browser on this computer");
  command
      ->add_option("paths", options->paths, "Books, or folders of books; new jobs begin in the first folder")
      ->required();
  command->add_option("--port", options->port, "Port; 0 takes any free one")->capture_default_str();
  command->add_flag("--share", *share, "Let other devices on the network join, with TLS and a code");
  command->add_flag("--open", options->open_screen, "Open the screens in the browser");
  command->callback([options, share, &status] {
    options->sharing = *share ? Sharing::network : Sharing::this_computer;
    const Result<Done> done = serve(*options);
    status.value = done ? 0 : refuse(done.problem());
  });
}

}  // namespace strandbook
