#pragma once
// Who may come in over the network, and what each may do: invitations with a code that works once, and the
// devices that joined with them.

#include <cstdint>
#include <ctime>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "front/service/role.hpp"

namespace strandbook {

/// Milliseconds UTC since 1970.
using Millis = std::int64_t;

struct Invitation {
  std::string id;
  std::string name;
  Role role = Role::crew;
  Millis until = 0;
};

/// A device that joined, of one person.
struct Session {
  std::string id;
  std::string name;
  Role role = Role::crew;
  std::string device;  ///< what it called itself
  Millis joined = 0;
  Millis seen = 0;
};

struct Invited {
  Invitation invitation;
  std::string code;  ///< told once and not kept: "ABCD-EFGH"
};

struct Joined {
  Session session;
  std::string token;  ///< for the device to show with each request; not kept
};

struct PeopleList {
  std::vector<Invitation> invitations;
  std::vector<Session> sessions;
};

/// Kept in a file that its owner only may read, so that neither a restart nor a second program on this
/// machine forgets anybody. Codes and tokens stand in it as their SHA-256. For any thread.
class People {
 public:
  using Clock = std::function<Millis()>;
  static constexpr Millis invitation_lasts = 15 * 60'000LL;
  static constexpr Millis session_lasts = 30 * 86'400'000LL;
  static constexpr Millis idle_session_lasts = 3 * 86'400'000LL;

  People(std::string file, Clock now);

  Result<Invited> invite(const std::string& name, Role role);
  /// Nothing where no invitation has this code (blanks, dashes and small letters aside) any more.
  Result<std::optional<Joined>> join(std::string_view code, const std::string& device);
  std::optional<Session> who(std::string_view token);
  Result<PeopleList> list();
  /// Ends a session or an invitation. False where there is none of that id.
  Result<bool> cut_off(const std::string& id);

 private:
  struct Book {
    std::vector<std::pair<std::string, Invitation>> invitations;  ///< hash of the code
    std::vector<std::pair<std::string, Session>> sessions;        ///< hash of the token
  };
  Result<Book> read() const;
  Result<Done> change(const std::function<void(Book&)>& work);
  void drop_expired(Book& book) const;
  void look_again();
  void note_seen(const std::string& id, Millis now);

  std::string file_;
  Clock now_;
  std::mutex mutex_;
  Book held_;
  std::timespec held_from_{};
};

}  // namespace strandbook
