#include "workflow/user_folders.hpp"

#include <cstdlib>

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
std::string config_folder() { return folder("XDG_CONFIG_HOME", "/.config"); }

}  // namespace strandbook
