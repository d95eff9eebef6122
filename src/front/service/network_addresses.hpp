#pragma once
// Under which addresses other devices of the site network reach this computer.

#include <string>
#include <vector>

namespace strandbook {

/// IPv4 addresses of interfaces that are up, loopback left out.
std::vector<std::string> network_addresses();

}  // namespace strandbook
