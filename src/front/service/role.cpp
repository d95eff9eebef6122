#include "front/service/role.hpp"

namespace strandbook {
namespace {

constexpr std::array<std::string_view, roles.size()> role_names = {"reads", "crew", "lead"};

}  // namespace

std::string_view text_of(Role role) { return role_names[static_cast<std::size_t>(role)]; }

std::optional<Role> parse_role(std::string_view text) {
  for (std::size_t i = 0; i < role_names.size(); ++i)
    if (role_names[i] == text) return static_cast<Role>(i);
  return std::nullopt;
}

std::string author_of(const Caller& caller) {
  constexpr std::size_t enough = 6;
  return caller.session.empty() ? std::string{} : caller.name + " @" + caller.session.substr(0, enough);
}

}  // namespace strandbook
