#pragma once
// Where a person who was invited goes with the code.

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace strandbook {

/// "https://192.168.1.5:8270/pair?code=ABCD-EFGH", one for each address of this computer.
std::vector<std::string> invitation_links(std::uint16_t port, std::string_view code);

}  // namespace strandbook
