#include <unistd.h>

#include <cstdlib>

#include "front/cli/cli.hpp"

namespace {

/// A job of a million readings spends half its time on the first touch of memory in small pages. glibc takes
/// large ones, and keeps what was freed, only where it is told so before the program starts.
void start_again_with_large_pages(char** argv) {
  if (std::getenv("GLIBC_TUNABLES") != nullptr) return;
  setenv(
      "GLIBC_TUNABLES",
      "glibc.malloc.hugetlb=1:glibc.malloc.mmap_threshold=4294967296:glibc.malloc.trim_threshold=4294967296:"
      "glibc.malloc.top_pad=16777216",
      0);
  execv("/proc/self/exe", argv);  // returns only where it failed: then small pages do
}

}  // namespace

int main(int argc, char** argv) {
  start_again_with_large_pages(argv);
  return strandbook::run(argc, argv);
}
