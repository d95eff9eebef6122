// Any bytes as a carry-file, packed or as the text inside: taken in whole or refused, and the book that takes
// it in is in order afterwards.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "edge/book/any_store.hpp"
#include "edge/book/carry_file.hpp"
#include "edge/book/gzip_lines.hpp"
#include "edge/book/verify.hpp"

namespace {

using namespace strandbook;

void write(const std::string& path, std::string_view bytes, bool pack) {
  std::filesystem::remove(path);
  if (!pack) {
    std::ofstream(path, std::ios::binary) << bytes;
    return;
  }
  Result<GzipLinesOut> out = GzipLinesOut::create(path);
  if (!out) std::abort();
  while (!bytes.empty()) {
    const std::size_t end = std::min(bytes.find('\n'), bytes.size());
    if (!out->line(std::string(bytes.substr(0, end)))) std::abort();
    bytes.remove_prefix(std::min(end + 1, bytes.size()));
  }
  if (!std::move(*out).close()) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::string folder = "/dev/shm/strandbook-fuzz-carry-" + std::to_string(::getpid());
  if (size == 0) return 0;
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  const std::string_view bytes(reinterpret_cast<const char*>(data + 1), size - 1);
  write(folder + "/sent.carry", bytes, data[0] % 4 != 0);
  const auto store = create_store(folder + "/book", system_surroundings());
  if (!store) std::abort();
  const Result<TakenIn> taken = take_in_carry_file(**store, folder + "/sent.carry");
  const Result<StoreCounts> counts = (*store)->counts();
  if (!counts) std::abort();
  if (!taken && counts->facts != 0) std::abort();
  (void)verify(**store);
  (void)parse_heads(bytes, "fuzz");
  return 0;
}
