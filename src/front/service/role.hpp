#pragma once
// What a person who comes in over the network may do.

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace strandbook {

/// Each may do what those before it may.
enum class Role : std::uint8_t {
  reads,  ///< looks at everything
  crew,   ///< adds: readings, references, files, notes
  lead,   ///< rules, corrections, sign-off, handover, people
};
std::string_view text_of(Role role);  // "reads", "crew", "lead"
std::optional<Role> parse_role(std::string_view text);

inline constexpr std::array roles = {Role::reads, Role::crew, Role::lead};

/// Who sent a request. Without sharing it is whoever sits at this computer, and may do everything.
struct Caller {
  std::string name;
  Role role = Role::lead;
  std::string session;  ///< id; empty without sharing
};

/// How facts name who recorded them: person and device, "K. R. @3f9a12". Empty without sharing.
std::string author_of(const Caller& caller);

}  // namespace strandbook
