#include "edge/exchange/output_file.hpp"

#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <system_error>

namespace strandbook {
namespace {

Problem cannot_write(const std::string& path, int error) {
  const char* advice = error == ENOSPC
                           ? "The disk is full: make room, then do it again. Nothing was half-written."
                           : "See that the folder exists and may be written to, then do it again.";
  return {{path, {}, 0, {}}, std::generic_category().message(error), "a file that can be written", advice};
}

}  // namespace

Result<OutputFile> OutputFile::create(const std::string& path) {
  std::error_code error;
  // A pipe or a terminal cannot be renamed into place: it is written straight.
  if (path == "-" ||
      (std::filesystem::exists(path, error) && !std::filesystem::is_regular_file(path, error))) {
    std::FILE* open = path == "-" ? ::fdopen(::dup(STDOUT_FILENO), "wb") : std::fopen(path.c_str(), "wb");
    if (open == nullptr) return cannot_write(path, errno);
    return OutputFile(path, {}, open);
  }
  std::string temporary = path + ".part" + std::to_string(::getpid());
  std::FILE* file = std::fopen(temporary.c_str(), "wb");
  if (file == nullptr) return cannot_write(path, errno);
  return OutputFile(path, std::move(temporary), file);
}

OutputFile::~OutputFile() {
  if (!file_) return;
  file_.reset();
  if (!temporary_.empty()) std::remove(temporary_.c_str());
}

void OutputFile::write(std::string_view text) {
  if (error_ == 0 && std::fwrite(text.data(), 1, text.size(), file_.get()) != text.size()) error_ = errno;
}

Result<Done> OutputFile::commit() {
  if (error_ == 0 && std::fflush(file_.get()) != 0) error_ = errno;
  const bool straight = temporary_.empty();
  if (error_ == 0 && !straight && ::fsync(::fileno(file_.get())) != 0) error_ = errno;
  file_.reset();
  if (error_ == 0 && !straight && std::rename(temporary_.c_str(), path_.c_str()) != 0) error_ = errno;
  if (error_ == 0) return Done{};
  if (!straight) std::remove(temporary_.c_str());
  return cannot_write(path_, error_);
}

Result<Done> write_file(const std::string& path, std::string_view text) {
  Result<OutputFile> file = OutputFile::create(path);
  if (!file) return file.problem();
  file->write(text);
  return file->commit();
}

}  // namespace strandbook
