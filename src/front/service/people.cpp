#include "front/service/people.hpp"

#include <fcntl.h>
#include <openssl/crypto.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "edge/exchange/file_bytes.hpp"
#include "edge/signing/sha256.hpp"
#include "front/service/private_file.hpp"
#include "front/service/random_text.hpp"

namespace strandbook {
namespace {

using Json = nlohmann::json;

// Without letters and digits that look alike on a screen.
constexpr std::string_view code_signs = "ABCDEFGHJKMNPQRSTUVWXYZ23456789";
constexpr std::size_t code_length = 8;
constexpr std::string_view hex_signs = "0123456789abcdef";
constexpr Millis seen_is_kept_every = 600'000;

/// As it may be typed: small letters, blanks and dashes.
std::string tidy_code(std::string_view typed) {
  std::string code;
  for (const char c : typed)
    if (c != ' ' && c != '-') code += static_cast<char>(c >= 'a' && c <= 'z' ? c - ('a' - 'A') : c);
  return code;
}

std::string kept_form(std::string_view secret) { return text_of(sha256(secret)); }

bool same(const std::string& a, const std::string& b) {
  return a.size() == b.size() && CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

Problem unreadable(const std::string& file, const std::string& why) {
  return {{file, {}, 0, {}},
          why,
          "the people who may come in, as strandbook wrote them",
          "Put it right, or move it away: then everybody must be let in again."};
}

/// Held while the file is read, changed and put back, by whichever program.
class FileLock {
 public:
  explicit FileLock(const std::string& path)
      : file_(::open((path + ".lock").c_str(), O_CREAT | O_RDWR | O_CLOEXEC, S_IRUSR | S_IWUSR)) {
    while (file_ >= 0 && ::flock(file_, LOCK_EX) != 0 && errno == EINTR) continue;
  }
  FileLock(const FileLock&) = delete;
  FileLock& operator=(const FileLock&) = delete;
  ~FileLock() {
    if (file_ >= 0) ::close(file_);
  }
  bool held() const { return file_ >= 0; }

 private:
  int file_;
};

Json to_json(const std::string& hash, const Invitation& each) {
  return {{"code_sha256", hash},
          {"id", each.id},
          {"name", each.name},
          {"role", text_of(each.role)},
          {"until", each.until}};
}

Json to_json(const std::string& hash, const Session& each) {
  return {{"token_sha256", hash},  {"id", each.id},         {"name", each.name}, {"role", text_of(each.role)},
          {"device", each.device}, {"joined", each.joined}, {"seen", each.seen}};
}

Role role_in(const Json& object) {
  const auto role = parse_role(object.at("role").get<std::string>());
  if (!role) throw std::invalid_argument("a role that is none");
  return *role;
}

}  // namespace

People::People(std::string file, Clock now) : file_(std::move(file)), now_(std::move(now)) {}

Result<People::Book> People::read() const {
  std::error_code error;
  if (!std::filesystem::exists(file_, error)) return Book{};
  const Result<std::string> text = read_file_bytes(file_);
  if (!text) return text.problem();
  try {
    const Json all = Json::parse(*text);
    Book book;
    for (const Json& each : all.at("invitations"))
      book.invitations.emplace_back(each.at("code_sha256"), Invitation{each.at("id"), each.at("name"),
                                                                       role_in(each), each.at("until")});
    for (const Json& each : all.at("sessions"))
      book.sessions.emplace_back(each.at("token_sha256"),
                                 Session{each.at("id"), each.at("name"), role_in(each), each.at("device"),
                                         each.at("joined"), each.at("seen")});
    return book;
  } catch (const std::exception& wrong) {
    return unreadable(file_, wrong.what());
  }
}

void People::drop_expired(Book& book) const {
  const Millis now = now_();
  std::erase_if(book.invitations, [&](const auto& each) { return each.second.until <= now; });
  std::erase_if(book.sessions, [&](const auto& each) {
    return each.second.joined + session_lasts <= now || each.second.seen + idle_session_lasts <= now;
  });
}

Result<Done> People::change(const std::function<void(Book&)>& work) {
  std::error_code error;
  std::filesystem::create_directories(std::filesystem::path(file_).parent_path(), error);
  const FileLock lock(file_);
  if (!lock.held()) return unreadable(file_, std::strerror(errno));
  Result<Book> book = read();
  if (!book) return book.problem();
  drop_expired(*book);
  work(*book);
  Json all{{"invitations", Json::array()}, {"sessions", Json::array()}};
  for (const auto& [hash, each] : book->invitations) all["invitations"].push_back(to_json(hash, each));
  for (const auto& [hash, each] : book->sessions) all["sessions"].push_back(to_json(hash, each));
  Result<Done> written = write_private_file(file_, all.dump(1) + "\n");
  if (written) held_ = std::move(*book);
  return written;
}

/// Takes in what another program changed.
void People::look_again() {
  struct stat status {};
  if (::stat(file_.c_str(), &status) != 0) {
    held_ = {};
    held_from_ = {};
    return;
  }
  const bool as_before =
      status.st_mtim.tv_sec == held_from_.tv_sec && status.st_mtim.tv_nsec == held_from_.tv_nsec;
  if (!as_before) {
    Result<Book> book = read();
    // A file that cannot be read lets nobody in.
    held_ = book ? std::move(*book) : Book{};
    held_from_ = status.st_mtim;
  }
  drop_expired(held_);
}

Result<Invited> People::invite(const std::string& name, Role role) {
  const std::lock_guard lock(mutex_);
  const std::string code = random_text(code_signs, code_length);
  const Invitation invitation{random_text(hex_signs, 16), name, role, now_() + invitation_lasts};
  const Result<Done> kept =
      change([&](Book& book) { book.invitations.emplace_back(kept_form(code), invitation); });
  if (!kept) return kept.problem();
  return Invited{invitation, code.substr(0, code_length / 2) + "-" + code.substr(code_length / 2)};
}

Result<std::optional<Joined>> People::join(std::string_view code, const std::string& device) {
  const std::lock_guard lock(mutex_);
  const std::string hash = kept_form(tidy_code(code));
  std::optional<Joined> joined;
  const Result<Done> kept = change([&](Book& book) {
    const auto at = std::find_if(book.invitations.begin(), book.invitations.end(),
                                 [&](const auto& each) { return same(each.first, hash); });
    if (at == book.invitations.end()) return;
    const Invitation& invitation = at->second;
    joined = Joined{{random_text(hex_signs, 16), invitation.name, invitation.role, device, now_(), now_()},
                    random_text(hex_signs, 64)};
    book.sessions.emplace_back(kept_form(joined->token), joined->session);
    book.invitations.erase(at);
  });
  if (!kept) return kept.problem();
  return joined;
}

std::optional<Session> People::who(std::string_view token) {
  if (token.empty()) return std::nullopt;
  const std::string hash = kept_form(token);
  const std::lock_guard lock(mutex_);
  look_again();
  for (auto& [held, session] : held_.sessions) {
    if (!same(held, hash)) continue;
    const Session found = session;
    if (const Millis now = now_(); now - session.seen >= seen_is_kept_every) note_seen(found.id, now);
    return found;
  }
  return std::nullopt;
}

void People::note_seen(const std::string& id, Millis now) {
  // That a device was seen may be lost without harm: it is noted again with its next request.
  (void)change([&](Book& book) {
    for (auto& [hash, session] : book.sessions)
      if (session.id == id) session.seen = now;
  });
}

Result<PeopleList> People::list() {
  const std::lock_guard lock(mutex_);
  Result<Book> book = read();
  if (!book) return book.problem();
  drop_expired(*book);
  PeopleList list;
  for (const auto& each : book->invitations) list.invitations.push_back(each.second);
  for (const auto& each : book->sessions) list.sessions.push_back(each.second);
  return list;
}

Result<bool> People::cut_off(const std::string& id) {
  const std::lock_guard lock(mutex_);
  bool found = false;
  const Result<Done> kept = change([&](Book& book) {
    found = std::erase_if(book.invitations, [&](const auto& each) { return each.second.id == id; }) +
                std::erase_if(book.sessions, [&](const auto& each) { return each.second.id == id; }) >
            0;
  });
  if (!kept) return kept.problem();
  return found;
}

}  // namespace strandbook
