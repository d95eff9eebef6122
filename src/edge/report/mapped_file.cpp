#include "edge/report/mapped_file.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <utility>

#include "edge/report/draft_file.hpp"

namespace strandbook {

Result<MappedFile> MappedFile::open(const std::string& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return cannot_write(path, "the draft cannot be read back");
  struct stat status {};
  void* start = MAP_FAILED;
  if (fstat(file, &status) == 0 && status.st_size > 0)
    start = mmap(nullptr, static_cast<std::size_t>(status.st_size), PROT_READ, MAP_PRIVATE, file, 0);
  close(file);
  if (start == MAP_FAILED) return cannot_write(path, "the draft cannot be read back");
  return MappedFile(start, static_cast<std::size_t>(status.st_size));
}

MappedFile::MappedFile(MappedFile&& other) noexcept
    : start_(std::exchange(other.start_, nullptr)), size_(other.size_) {}

MappedFile::~MappedFile() {
  if (start_ != nullptr) munmap(start_, size_);
}

}  // namespace strandbook
