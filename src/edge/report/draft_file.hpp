#pragma once
// A file under a temporary name beside its target, so that the target is whole or untouched.

#include <cstdio>
#include <memory>
#include <string>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// Makes an empty file beside the target; removes it again unless it was moved onto the target.
class DraftFile {
 public:
  static Result<DraftFile> beside(const std::string& target);
  DraftFile(DraftFile&& other) noexcept;
  DraftFile& operator=(DraftFile&&) = delete;
  ~DraftFile();

  const std::string& path() const { return path_; }
  /// Brings the bytes to the disk and renames the draft to the target.
  Result<Done> keep();

 private:
  DraftFile(std::string path, std::string target) : path_(std::move(path)), target_(std::move(target)) {}
  std::string path_;  ///< empty once kept or moved from
  std::string target_;
};

struct CloseFile {
  void operator()(std::FILE* file) const { (void)std::fclose(file); }
};
using FilePtr = std::unique_ptr<std::FILE, CloseFile>;

/// The folder a path stands in, with its last slash; "./" where it names none.
std::string folder_of(const std::string& path);

/// The Problem of a file that cannot be written, with the system's reason.
Problem cannot_write(const std::string& path, const std::string& reason);

}  // namespace strandbook
