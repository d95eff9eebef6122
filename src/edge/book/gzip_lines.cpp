#include "edge/book/gzip_lines.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>

#include "edge/book/placing.hpp"

namespace strandbook {
namespace {

constexpr std::size_t longest_line = std::size_t{1} << 29U;
constexpr std::size_t largest_piece = std::size_t{1} << 28U;

Result<Done> sync_file(const std::string& path) {
  const int handle = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (handle < 0) return file_problem(path, errno, "the file just written");
  const bool synced = ::fsync(handle) == 0;
  const int error = errno;
  (void)::close(handle);
  if (!synced) return file_problem(path, error, "a disk that keeps what is written");
  return Done{};
}

}  // namespace

Result<GzipLinesOut> GzipLinesOut::create(const std::string& path) {
  errno = 0;
  const gzFile file = gzopen(path.c_str(), "wb6");
  if (file == nullptr)
    return file_problem(path, errno != 0 ? errno : ENOMEM, "a place that can be written to");
  return GzipLinesOut(file, path);
}

Problem GzipLinesOut::broken() const {
  int code = Z_OK;
  (void)gzerror(file_.get(), &code);
  return file_problem(path_, code == Z_ERRNO && errno != 0 ? errno : ENOSPC,
                      "a place that can be written to");
}

Result<Done> GzipLinesOut::line(std::string_view text) {
  for (; !text.empty(); text.remove_prefix(std::min(text.size(), largest_piece))) {
    const auto piece = static_cast<unsigned>(std::min(text.size(), largest_piece));
    if (gzwrite(file_.get(), text.data(), piece) != static_cast<int>(piece)) return broken();
  }
  if (gzputc(file_.get(), '\n') != '\n') return broken();
  return Done{};
}

Result<Done> GzipLinesOut::close() && {
  errno = 0;
  if (gzclose(file_.release()) != Z_OK)
    return file_problem(path_, errno != 0 ? errno : ENOSPC, "a place that can be written to");
  return sync_file(path_);
}

Result<GzipLinesIn> GzipLinesIn::open(const std::string& path) {
  errno = 0;
  const gzFile file = gzopen(path.c_str(), "rb");
  if (file == nullptr) return file_problem(path, errno != 0 ? errno : ENOMEM, "a file that can be read");
  return GzipLinesIn(file, path);
}

Problem GzipLinesIn::broken(const std::string& found) const {
  return {{path_, {}, 0, {}},
          found,
          "a whole gzip file of text lines",
          "The file was damaged or cut off on the way: carry it again. Nothing was taken in."};
}

Result<bool> GzipLinesIn::refill() {
  const int got = gzread(file_.get(), buffer_.data(), static_cast<unsigned>(buffer_.size()));
  int code = Z_OK;
  (void)gzerror(file_.get(), &code);
  // At a torn end zlib hands out what it has, and says so only here.
  if (got < 0 || code == Z_BUF_ERROR || code == Z_DATA_ERROR) return broken("damaged or cut-off content");
  rest_ = {buffer_.data(), static_cast<std::size_t>(got)};
  return got > 0;
}

Result<bool> GzipLinesIn::next(std::string& line) {
  line.clear();
  for (;;) {
    if (rest_.empty()) {
      const Result<bool> more = refill();
      if (!more) return more.problem();
      if (!*more && line.empty()) return false;
      if (!*more) return broken("a last line that does not end");
    }
    const std::size_t end = std::min(rest_.find('\n'), rest_.size());
    if (line.size() + end > longest_line) return broken("a line of more than half a gigabyte");
    line.append(rest_.substr(0, end));
    const bool ended = end < rest_.size();
    rest_.remove_prefix(std::min(end + 1, rest_.size()));
    if (ended) return true;
  }
}

}  // namespace strandbook
