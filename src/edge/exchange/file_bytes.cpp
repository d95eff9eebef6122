#include "edge/exchange/file_bytes.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <new>
#include <stdexcept>

namespace strandbook {
namespace {

constexpr const char* kWanted = "a table: delimited text (CSV), XLSX or ODS";

class OpenFile {
 public:
  explicit OpenFile(const std::string& path)
      : descriptor_(open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)) {}
  ~OpenFile() {
    if (descriptor_ >= 0) close(descriptor_);
  }
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  int descriptor() const { return descriptor_; }

 private:
  int descriptor_;
};

Problem cannot_open(const std::string& path, int error) {
  const Place at{path, {}, 0, {}};
  if (error == ENOENT || error == ENOTDIR)
    return {at, "no such file", kWanted, "check the name and the folder; names of files are case-sensitive"};
  if (error == EACCES || error == EPERM)
    return {at, "a file that may not be read", kWanted,
            "ask for permission to read it, or copy it to your own folder"};
  return {at, std::string("a file that does not open (") + std::strerror(error) + ")", kWanted,
          "copy it to a local folder and try again"};
}

Problem not_a_file(const std::string& path, mode_t mode) {
  const char* found = S_ISDIR(mode) ? "a folder, not a file" : "something that is not an ordinary file";
  return {{path, {}, 0, {}}, found, kWanted, "name the file itself"};
}

bool is_same(const struct stat& before, const struct stat& after) {
  return before.st_size == after.st_size && before.st_mtim.tv_sec == after.st_mtim.tv_sec &&
         before.st_mtim.tv_nsec == after.st_mtim.tv_nsec;
}

/// Bytes read, or -1; reads one byte less than asked for where the file became shorter.
ssize_t read_all(int descriptor, std::string& bytes) {
  std::size_t have = 0;
  while (have < bytes.size()) {
    const ssize_t got = read(descriptor, bytes.data() + have, bytes.size() - have);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return -1;
    if (got == 0) break;
    have += static_cast<std::size_t>(got);
  }
  return static_cast<ssize_t>(have);
}

Result<std::string> read_open(const OpenFile& file, const std::string& path) {
  struct stat before {};
  if (fstat(file.descriptor(), &before) != 0) return cannot_open(path, errno);
  if (!S_ISREG(before.st_mode)) return not_a_file(path, before.st_mode);
  std::string bytes(static_cast<std::size_t>(before.st_size), '\0');
  const ssize_t got = read_all(file.descriptor(), bytes);
  if (got < 0) return cannot_open(path, errno);
  struct stat after {};
  if (fstat(file.descriptor(), &after) != 0) return cannot_open(path, errno);
  if (got != before.st_size || !is_same(before, after))
    return Problem{{path, {}, 0, {}},
                   "the file changed while it was read",
                   "a file that nothing writes to",
                   "close the program that writes it and try again"};
  return bytes;
}

}  // namespace

Result<std::string> read_file_bytes(const std::string& path) {
  if (path.find('\0') != std::string::npos) return cannot_open(path, ENOENT);
  const OpenFile file(path);
  if (file.descriptor() < 0) return cannot_open(path, errno);
  try {
    return read_open(file, path);
  } catch (const std::bad_alloc&) {
    return Problem{{path, {}, 0, {}},
                   "a file larger than the free memory",
                   kWanted,
                   "close other programs or split the file"};
  } catch (const std::length_error&) {
    return Problem{{path, {}, 0, {}}, "a file larger than the free memory", kWanted, "split the file"};
  }
}

}  // namespace strandbook
