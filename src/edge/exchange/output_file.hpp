#pragma once
// A file that is there whole or not at all: written beside its name, then renamed.

#include <cstdio>
#include <memory>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"

namespace strandbook {

class OutputFile {
 public:
  /// "-" is standard output; devices and pipes are written straight.
  static Result<OutputFile> create(const std::string& path);
  OutputFile(OutputFile&&) = default;
  OutputFile& operator=(OutputFile&&) = delete;
  ~OutputFile();

  /// Errors are remembered and told by commit.
  void write(std::string_view text);
  /// Puts the file in its place. Without it nothing is left behind.
  Result<Done> commit();

 private:
  struct Close {
    void operator()(std::FILE* file) const { std::fclose(file); }
  };
  OutputFile(std::string path, std::string temporary, std::FILE* file)
      : path_(std::move(path)), temporary_(std::move(temporary)), file_(file) {}
  std::string path_;
  std::string temporary_;
  std::unique_ptr<std::FILE, Close> file_;
  int error_ = 0;
};

/// Writes a whole text at once.
Result<Done> write_file(const std::string& path, std::string_view text);

}  // namespace strandbook
