#include "front/cli/cli.hpp"

#include <fmt/format.h>

#include <exception>

#include "front/cli/commands.hpp"
#include "workflow/version.hpp"

namespace strandbook {

int run(int argc, char** argv) {
  try {
    CLI::App app{"strandbook certifies optical-fibre links: limits, readings, outcomes, report."};
    app.set_version_flag("--version", std::string("strandbook ") + program_version);
    app.require_subcommand(1);
    ExitStatus status;
    add_limit_command(app, status);
    add_engineer_command(app, status);
    add_arrays_command(app, status);
    add_cords_command(app, status);
    add_endfaces_command(app, status);
    add_predict_command(app, status);
    add_reels_command(app, status);
    add_sample_command(app, status);
    add_compare_command(app, status);
    add_assess_command(app, status);
    add_report_command(app, status);
    add_preflight_command(app, status);
    add_handover_command(app, status);
    add_verify_command(app, status);
    add_certificates_command(app, status);
    add_labels_command(app, status);
    add_import_command(app, status);
    add_rules_command(app, status);
    add_profiles_command(app, status);
    add_book_command(app, status);
    add_people_command(app, status);
    add_serve_command(app, status);
    add_meter_command(app, status);
    add_applications_command(app, status);
    add_carries_command(app, status);
    add_power_command(app, status);
    add_tree_command(app, status);
    add_trace_command(app, status);
    try {
      app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
      return app.exit(error) == 0 ? 0 : 2;
    }
    return status.value;
  } catch (const std::exception& error) {
    fmt::print(stderr, "strandbook: stopped by an error of its own: {}\n", error.what());
    return 2;
  }
}

}  // namespace strandbook
