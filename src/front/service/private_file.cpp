#include "front/service/private_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>

#include "edge/book/placing.hpp"

namespace strandbook {
namespace {

bool write_all(int file, std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = ::write(file, text.data(), text.size());
    if (written < 0 && errno != EINTR) return false;
    if (written > 0) text.remove_prefix(static_cast<std::size_t>(written));
  }
  return ::fsync(file) == 0;
}

}  // namespace

Result<Done> write_private_file(const std::string& path, std::string_view text) {
  const std::string part = path + ".part";
  const int file = ::open(part.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (file < 0) return file_problem(path, errno, "a file that only you may read");
  const bool whole = ::fchmod(file, 0600) == 0 && write_all(file, text);
  const int error = errno;
  ::close(file);
  if (whole && ::rename(part.c_str(), path.c_str()) == 0) return Done{};
  const int why = whole ? errno : error;
  ::unlink(part.c_str());
  return file_problem(path, why, "a file that only you may read");
}

}  // namespace strandbook
