#include "workflow/recorded_job.hpp"

#include <fstream>

#include "edge/book/any_store.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/recorded_file.hpp"
#include "workflow/keep_book.hpp"

namespace strandbook {
namespace {

/// Enough of a file to tell a book from JSON, without reading all of a large book.
std::string beginning_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::string begin(64, '\0');
  file.read(begin.data(), static_cast<std::streamsize>(begin.size()));
  begin.resize(static_cast<std::size_t>(file.gcount()));
  return begin;
}

}  // namespace

Result<RecordedJob> recorded_job(const std::string& path) {
  if (!is_postgres_address(path) && looks_like_recorded(beginning_of(path))) {
    const Result<std::string> text = read_file_bytes(path);
    if (!text) return text.problem();
    return read_recorded_text(*text, path);
  }
  const Result<OpenBook> book = open_to_read(path);
  if (!book) return book.problem();
  const Result<JudgedWork> work = judge_book(*book, {});
  if (!work) return work.problem();
  RecordedJob job = recorded_of(work->job.assessment);
  job.name = work->job.name;
  job.source = path;
  return job;
}

}  // namespace strandbook
