#pragma once
// One function per command: adds it to the command line; its exit status lands in `status`.

#include <CLI/CLI.hpp>
#include <memory>

namespace strandbook {

/// What the chosen command left: 0 all holds, 1 something fails or is missing, 2 usage or unreadable input.
struct ExitStatus {
  int value = 0;
};

void add_limit_command(CLI::App& app, ExitStatus& status);
void add_applications_command(CLI::App& app, ExitStatus& status);
void add_carries_command(CLI::App& app, ExitStatus& status);
void add_power_command(CLI::App& app, ExitStatus& status);
void add_tree_command(CLI::App& app, ExitStatus& status);
void add_trace_command(CLI::App& app, ExitStatus& status);
void add_engineer_command(CLI::App& app, ExitStatus& status);
void add_arrays_command(CLI::App& app, ExitStatus& status);
void add_cords_command(CLI::App& app, ExitStatus& status);
void add_endfaces_command(CLI::App& app, ExitStatus& status);
void add_predict_command(CLI::App& app, ExitStatus& status);
void add_sample_command(CLI::App& app, ExitStatus& status);
void add_compare_command(CLI::App& app, ExitStatus& status);
void add_reels_command(CLI::App& app, ExitStatus& status);
void add_assess_command(CLI::App& app, ExitStatus& status);
void add_report_command(CLI::App& app, ExitStatus& status);
void add_preflight_command(CLI::App& app, ExitStatus& status);
void add_handover_command(CLI::App& app, ExitStatus& status);
void add_verify_command(CLI::App& app, ExitStatus& status);
void add_certificates_command(CLI::App& app, ExitStatus& status);
void add_labels_command(CLI::App& app, ExitStatus& status);
void add_import_command(CLI::App& app, ExitStatus& status);
void add_rules_command(CLI::App& app, ExitStatus& status);
void add_profiles_command(CLI::App& app, ExitStatus& status);
void add_book_command(CLI::App& app, ExitStatus& status);
void add_people_command(CLI::App& app, ExitStatus& status);
void add_serve_command(CLI::App& app, ExitStatus& status);
void add_meter_command(CLI::App& app, ExitStatus& status);

}  // namespace strandbook
