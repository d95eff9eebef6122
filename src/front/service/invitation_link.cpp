#include "front/service/invitation_link.hpp"

#include <fmt/format.h>

#include "front/service/network_addresses.hpp"

namespace strandbook {

std::vector<std::string> invitation_links(std::uint16_t port, std::string_view code) {
  std::vector<std::string> links;
  for (const std::string& address : network_addresses())
    links.push_back(fmt::format("https://{}:{}/pair?code={}", address, port, code));
  return links;
}

}  // namespace strandbook
