#include "edge/book/placing.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

namespace strandbook {
namespace {

std::string advice_for(int error) {
  switch (error) {
    case ENOSPC:
    case EDQUOT:
    case EFBIG:
      return "The disk is full: make room, then do it again. Nothing was half-written.";
    case EROFS:
    case EACCES:
    case EPERM:
      return "The folder or the file may not be written to: choose another place, or ask for the right.";
    case ENOENT:
    case ENOTDIR:
      return "See that the folder exists and the name is right.";
    default:
      return "See that the disk is there and whole, then do it again.";
  }
}

/// Makes the new name last through a power cut. Some file systems cannot; the file is placed all the same.
void sync_folder_of(const std::string& path) {
  std::string folder = std::filesystem::path(path).parent_path().string();
  if (folder.empty()) folder = ".";
  const int handle = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (handle < 0) return;
  (void)::fsync(handle);
  (void)::close(handle);
}

/// For file systems without hard links (memory sticks).
Result<Placed> rename_if_free(const std::string& temporary, const std::string& path) {
  if (::access(path.c_str(), F_OK) == 0) {
    (void)::unlink(temporary.c_str());
    return Placed::name_taken;
  }
  if (std::rename(temporary.c_str(), path.c_str()) == 0) return Placed::fresh;
  const int error = errno;
  (void)::unlink(temporary.c_str());
  return file_problem(path, error, "a place that can be written to");
}

}  // namespace

Problem file_problem(const std::string& path, int error, const std::string& wanted) {
  return {{path, {}, 0, {}}, std::generic_category().message(error), wanted, advice_for(error)};
}

Result<Placed> place_file(const std::string& temporary, const std::string& path) {
  const int done = ::link(temporary.c_str(), path.c_str());
  const int error = errno;
  if (done != 0 && error != EEXIST) {
    Result<Placed> placed = rename_if_free(temporary, path);
    if (placed) sync_folder_of(path);
    return placed;
  }
  (void)::unlink(temporary.c_str());
  if (done != 0) return Placed::name_taken;
  sync_folder_of(path);
  return Placed::fresh;
}

}  // namespace strandbook
