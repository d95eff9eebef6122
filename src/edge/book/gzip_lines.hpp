#pragma once
// Lines of text in a gzip file (RFC 1952).

#include <zlib.h>

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"

namespace strandbook {

class GzipLinesOut {
 public:
  /// Replaces what has that name.
  static Result<GzipLinesOut> create(const std::string& path);
  Result<Done> line(std::string_view text);
  /// The file is whole and on the disk once this returns.
  Result<Done> close() &&;

 private:
  struct Close {
    void operator()(gzFile_s* file) const { gzclose(file); }
  };
  GzipLinesOut(gzFile file, std::string path) : file_(file), path_(std::move(path)) {}
  Problem broken() const;
  std::unique_ptr<gzFile_s, Close> file_;
  std::string path_;
};

class GzipLinesIn {
 public:
  static Result<GzipLinesIn> open(const std::string& path);
  /// False after the last line. A line longer than half a gigabyte, or one that does not end, is refused.
  Result<bool> next(std::string& line);

 private:
  struct Close {
    void operator()(gzFile_s* file) const { gzclose(file); }
  };
  GzipLinesIn(gzFile file, std::string path) : file_(file), path_(std::move(path)) {}
  Problem broken(const std::string& found) const;
  Result<bool> refill();
  std::unique_ptr<gzFile_s, Close> file_;
  std::string path_;
  std::vector<char> buffer_ = std::vector<char>(std::size_t{1} << 18U);
  std::string_view rest_;
};

}  // namespace strandbook
