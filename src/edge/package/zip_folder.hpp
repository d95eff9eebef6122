#pragma once
// A folder as one ZIP file and back, by libzip.

#include <string>

#include "domain/link/instant.hpp"
#include "domain/problem/problem.hpp"
#include "domain/problem/progress.hpp"

namespace strandbook {

/// Packs all files below `folder` into `path`, whole or not at all, each under `top`/. Every file bears the
/// moment `made`, so that the same folder gives the same bytes.
Result<Done> zip_folder(const std::string& folder, const std::string& top, const Instant& made,
                        const std::string& path, const Progress& progress = {});

/// Unpacks into `folder`, which is there and empty. Where all entries stand under one folder, that name is
/// left out. Refuses entries that would lie elsewhere or twice, and more than `most_bytes` in all.
struct UnzipBounds {
  std::uint64_t most_bytes = std::uint64_t{8} << 30U;
  std::uint64_t most_files = 1'000'000;
};
Result<Done> unzip_into(const std::string& path, const std::string& folder, const UnzipBounds& bounds = {});

}  // namespace strandbook
