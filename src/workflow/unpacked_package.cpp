#include "workflow/unpacked_package.hpp"

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <utility>

#include "edge/book/any_store.hpp"
#include "edge/book/carry_file.hpp"
#include "edge/package/zip_folder.hpp"
#include "workflow/package_files.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

bool starts_like_a_zip(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  char start[4] = {};
  file.read(start, sizeof start);
  return file.gcount() == sizeof start &&
         std::string_view(start, sizeof start) == std::string_view("PK\3\4", 4);
}

Result<std::string> new_scratch() {
  const char* wish = std::getenv("TMPDIR");
  std::string path =
      std::string(wish != nullptr && *wish != 0 ? wish : "/tmp") + "/strandbook-package-XXXXXX";
  if (::mkdtemp(path.data()) == nullptr)
    return Problem{{path, {}, 0, {}}, "no folder for temporary files", "one that can be written to", ""};
  return path;
}

Problem no_package(const std::string& path) {
  return {{path, {}, 0, {}},
          "no package",
          "the folder or the ZIP that `strandbook handover` made",
          "See that the whole package was copied."};
}

}  // namespace

bool is_package(const std::string& path) {
  std::error_code error;
  if (fs::is_directory(path, error)) return fs::exists(fs::path(path) / package_manifest, error);
  return fs::is_regular_file(path, error) && starts_like_a_zip(path);
}

Result<UnpackedPackage> UnpackedPackage::open(const std::string& package) {
  if (!is_package(package)) return no_package(package);
  Result<std::string> scratch = new_scratch();
  if (!scratch) return scratch.problem();
  UnpackedPackage unpacked(package, *scratch);
  std::error_code error;
  if (fs::is_directory(package, error)) return unpacked;
  unpacked.folder_ = *scratch + "/package";
  fs::create_directories(unpacked.folder_, error);
  if (const Result<Done> done = unzip_into(package, unpacked.folder_); !done) return done.problem();
  if (!fs::exists(fs::path(unpacked.folder_) / package_manifest, error)) return no_package(package);
  return unpacked;
}

UnpackedPackage::UnpackedPackage(UnpackedPackage&& other) noexcept
    : folder_(std::move(other.folder_)), scratch_(std::exchange(other.scratch_, {})) {}

UnpackedPackage::~UnpackedPackage() {
  std::error_code ignored;
  if (!scratch_.empty()) fs::remove_all(scratch_, ignored);
}

Result<OpenBook> UnpackedPackage::book() const {
  const std::string path = scratch_ + "/package.book";
  std::error_code ignored;
  for (const char* end : {"", "-wal", "-shm"}) fs::remove(path + end, ignored);
  Result<std::unique_ptr<Store>> store = create_store(path, system_surroundings());
  if (!store) return store.problem();
  const Result<TakenIn> taken = take_in_carry_file(**store, folder_ + "/" + package_book);
  if (!taken) return taken.problem();
  if (!taken->refused.empty()) return taken->refused.front();
  return OpenBook{{}, std::move(*store), {}};  // nobody writes into it
}

}  // namespace strandbook
