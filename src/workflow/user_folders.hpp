#pragma once
// Where this user's own files are, after the XDG base directories, and where the screens are.

#include <string>

namespace strandbook {

/// strandbook in XDG_STATE_HOME, else in ~/.local/state: what this machine is.
std::string state_folder();
/// strandbook in XDG_CONFIG_HOME, else in ~/.config: what the user chose.
std::string config_folder();
/// The built screens: STRANDBOOK_WEB, else web/dist beside or above the program, else share/strandbook/web;
/// empty where none is.
std::string web_folder();

}  // namespace strandbook
