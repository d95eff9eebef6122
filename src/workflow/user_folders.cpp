#include "workflow/user_folders.hpp"

#include <cstdlib>
#include <filesystem>

namespace strandbook {
namespace {

std::string folder(const char* variable, const char* below_home) {
  if (const char* named = std::getenv(variable); named != nullptr && *named != 0)
    return std::string{named} + "/strandbook";
  const char* home = std::getenv("HOME");
  return std::string{home == nullptr ? "/tmp" : home} + below_home + "/strandbook";
}

}  // namespace

std::string state_folder() { return folder("XDG_STATE_HOME", "/.local/state"); }
std::string web_folder() {
  namespace fs = std::filesystem;
  if (const char* named = std::getenv("STRANDBOOK_WEB")) return named;
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  for (fs::path folder = program.parent_path(); !folder.empty(); folder = folder.parent_path()) {
    for (const char* place : {"web/dist", "share/strandbook/web"})
      if (fs::exists(folder / place / "index.html", error)) return (folder / place).string();
    if (folder == folder.root_path()) break;
  }
  return {};
}

std::string config_folder() { return folder("XDG_CONFIG_HOME", "/.config"); }

}  // namespace strandbook
