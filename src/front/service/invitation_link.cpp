#include "front/service/invitation_link.hpp"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <ifaddrs.h>
#include <net/if.h>

#include <array>

namespace strandbook {
namespace {

/// IPv4 addresses of interfaces that are up, loopback left out.
std::vector<std::string> network_addresses() {
  std::vector<std::string> addresses;
  ifaddrs* list = nullptr;
  if (::getifaddrs(&list) != 0) return addresses;
  for (const ifaddrs* each = list; each != nullptr; each = each->ifa_next) {
    if (each->ifa_addr == nullptr || each->ifa_addr->sa_family != AF_INET) continue;
    if ((each->ifa_flags & IFF_UP) == 0 || (each->ifa_flags & IFF_LOOPBACK) != 0) continue;
    std::array<char, INET_ADDRSTRLEN> text{};
    const auto* address = reinterpret_cast<const sockaddr_in*>(each->ifa_addr);
    if (::inet_ntop(AF_INET, &address->sin_addr, text.data(), text.size()) != nullptr)
      addresses.emplace_back(text.data());
  }
  ::freeifaddrs(list);
  return addresses;
}

}  // namespace

std::vector<std::string> invitation_links(std::uint16_t port, std::string_view code) {
  std::vector<std::string> links;
  for (const std::string& address : network_addresses())
    links.push_back(fmt::format("https://{}:{}/pair?code={}", address, port, code));
  return links;
}

}  // namespace strandbook
