#include "edge/report/draft_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <system_error>
#include <utility>

namespace strandbook {
namespace {

std::string reason_of(int error) { return std::generic_category().message(error); }

/// New files are private by mkstemp; a report is given the rights any new file of the person would have.
void give_usual_rights(int file) {
  const mode_t mask = umask(0);
  umask(mask);
  (void)fchmod(file, 0666 & ~mask);
}

int synced(const std::string& path) {
  const int file = open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return errno;
  const int error = fsync(file) == 0 ? 0 : errno;
  close(file);
  return error;
}

}  // namespace

std::string folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  return slash == std::string::npos ? "./" : path.substr(0, slash + 1);
}

Problem cannot_write(const std::string& path, const std::string& reason) {
  return {.at = {.file = path, .sheet = {}, .row = 0, .column = {}},
          .found = "it cannot be written: " + reason,
          .wanted = "a folder with room that may be written to",
          .advice = "Free some space or choose another folder; what was there before is untouched."};
}

Result<DraftFile> DraftFile::beside(const std::string& target) {
  std::string pattern = target + ".draft-XXXXXX";
  const int file = mkstemp(pattern.data());
  if (file < 0) return cannot_write(target, reason_of(errno));
  give_usual_rights(file);
  close(file);
  return DraftFile(std::move(pattern), target);
}

DraftFile::DraftFile(DraftFile&& other) noexcept
    : path_(std::exchange(other.path_, {})), target_(std::move(other.target_)) {}

DraftFile::~DraftFile() {
  if (!path_.empty()) (void)std::remove(path_.c_str());
}

Result<Done> DraftFile::keep() {
  if (const int error = synced(path_)) return cannot_write(target_, reason_of(error));
  if (std::rename(path_.c_str(), target_.c_str()) != 0) return cannot_write(target_, reason_of(errno));
  path_.clear();
  return Done{};
}

}  // namespace strandbook
