#pragma once
// Where this user's own files are, after the XDG base directories.

#include <string>

namespace strandbook {

/// strandbook in XDG_STATE_HOME, else in ~/.local/state: what this machine is.
std::string state_folder();
/// strandbook in XDG_CONFIG_HOME, else in ~/.config: what the user chose.
std::string config_folder();

}  // namespace strandbook
