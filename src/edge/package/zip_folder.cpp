#include "edge/package/zip_folder.hpp"

#include <unistd.h>
#include <zip.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <set>
#include <system_error>

#include "edge/package/manifest.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

struct Discard {
  void operator()(zip_t* archive) const { zip_discard(archive); }
};
using Archive = std::unique_ptr<zip_t, Discard>;
using Entry = std::unique_ptr<zip_file_t, decltype([](zip_file_t* file) { zip_fclose(file); })>;
using OutFile = std::unique_ptr<std::FILE, decltype([](std::FILE* file) { std::fclose(file); })>;

Problem cannot_pack(const std::string& path, const std::string& why) {
  return {{path, {}, 0, {}}, why, "a ZIP file that can be written", "See that the disk has room."};
}

Problem cannot_unpack(const std::string& path, const std::string& why) {
  return {{path, {}, 0, {}}, why, "a ZIP file of a package", "Copy it again, or ask for it anew."};
}

Archive opened(const std::string& path, int flags, std::string& why) {
  int code = 0;
  Archive archive(zip_open(path.c_str(), flags, &code));
  if (archive) return archive;
  zip_error_t error;
  zip_error_init_with_code(&error, code);
  why = zip_error_strerror(&error);
  zip_error_fini(&error);
  return archive;
}

/// Files that are packed already are stored as they are.
bool worth_packing(const std::string& path) {
  for (const char* end : {".xlsx", ".carry", ".zip", ".png", ".jpg", ".gz", ".ods", ".pdf"})
    if (path.ends_with(end)) return false;
  return true;
}

Result<Done> add_file(zip_t* archive, const std::string& folder, const std::string& top,
                      const std::string& path, const Instant& made) {
  zip_source_t* source = zip_source_file(archive, (fs::path(folder) / path).c_str(), 0, -1);
  const zip_int64_t index =
      source == nullptr ? -1 : zip_file_add(archive, (top + "/" + path).c_str(), source, ZIP_FL_ENC_UTF_8);
  if (index < 0) {
    zip_source_free(source);
    return cannot_pack(path, zip_strerror(archive));
  }
  const auto at = static_cast<zip_uint64_t>(index);
  zip_file_set_mtime(archive, at, static_cast<time_t>(made.seconds), 0);
  zip_set_file_compression(archive, at, worth_packing(path) ? ZIP_CM_DEFLATE : ZIP_CM_STORE, 0);
  return Done{};
}

/// Hands libzip's calls on, and remembers that the work is no longer wanted.
struct Watch {
  const Progress& progress;
  bool wanted = true;
};
void report(zip_t*, double done, void* watch) {
  auto* told = static_cast<Watch*>(watch);
  told->wanted = told->progress(done);
}
int unwanted(zip_t*, void* watch) { return static_cast<const Watch*>(watch)->wanted ? 0 : 1; }

Result<Done> extract(zip_t* archive, zip_uint64_t index, const std::string& target, std::uint64_t& left) {
  const Entry entry(zip_fopen_index(archive, index, 0));
  if (!entry) return cannot_unpack(target, zip_strerror(archive));
  std::error_code error;
  fs::create_directories(fs::path(target).parent_path(), error);
  const OutFile file(std::fopen(target.c_str(), "wbx"));
  if (!file) return cannot_unpack(target, std::generic_category().message(errno));
  std::array<char, 1U << 16U> part{};
  zip_int64_t got = 0;
  while ((got = zip_fread(entry.get(), part.data(), part.size())) > 0) {
    const auto size = static_cast<std::size_t>(got);
    if (size > left) return cannot_unpack(target, "more than a package may unpack to");
    left -= size;
    if (std::fwrite(part.data(), 1, size, file.get()) != size)
      return cannot_unpack(target, std::generic_category().message(errno));
  }
  if (got < 0 || std::fflush(file.get()) != 0) return cannot_unpack(target, "content that is damaged");
  return Done{};
}

/// The folder that every entry stands under, with its slash; empty where there is none.
std::string common_top(zip_t* archive, zip_int64_t count) {
  std::string top;
  for (zip_int64_t i = 0; i < count; ++i) {
    const char* name = zip_get_name(archive, static_cast<zip_uint64_t>(i), ZIP_FL_ENC_RAW);
    const std::string path = name == nullptr ? "" : name;
    const std::size_t slash = path.find('/');
    if (slash == std::string::npos || (i > 0 && path.substr(0, slash + 1) != top)) return {};
    top = path.substr(0, slash + 1);
  }
  return top;
}

}  // namespace

Result<Done> zip_folder(const std::string& folder, const std::string& top, const Instant& made,
                        const std::string& path, const Progress& progress) {
  const Result<std::vector<std::string>> files = files_below(folder);
  if (!files) return files.problem();
  const std::string temporary = path + ".part" + std::to_string(::getpid());
  std::string why;
  Archive archive = opened(temporary, ZIP_CREATE | ZIP_TRUNCATE, why);
  if (!archive) return cannot_pack(path, why);
  for (const std::string& file : *files)
    if (Result<Done> added = add_file(archive.get(), folder, top, file, made); !added) return added;
  Watch watch{progress};
  if (progress) {
    constexpr double step = 0.01;
    zip_register_progress_callback_with_state(archive.get(), step, report, nullptr, &watch);
    zip_register_cancel_callback_with_state(archive.get(), unwanted, nullptr, &watch);
  }
  if (zip_close(archive.get()) != 0) {
    why = zip_strerror(archive.get());
    archive.reset();
    (void)::unlink(temporary.c_str());
    return watch.wanted ? cannot_pack(path, why) : cancelled(path);
  }
  (void)archive.release();
  std::error_code error;
  fs::rename(temporary, path, error);
  if (error) return cannot_pack(path, error.message());
  return Done{};
}

Result<Done> unzip_into(const std::string& path, const std::string& folder, const UnzipBounds& bounds) {
  std::string why;
  const Archive archive = opened(path, ZIP_RDONLY, why);
  if (!archive) return cannot_unpack(path, why);
  const zip_int64_t count = zip_get_num_entries(archive.get(), 0);
  if (count < 0 || static_cast<std::uint64_t>(count) > bounds.most_files)
    return cannot_unpack(path, "more files than a package may hold");
  const std::string top = common_top(archive.get(), count);
  std::uint64_t left = bounds.most_bytes;
  for (zip_int64_t i = 0; i < count; ++i) {
    const auto index = static_cast<zip_uint64_t>(i);
    const std::string whole = zip_get_name(archive.get(), index, ZIP_FL_ENC_RAW);
    const std::string name = whole.substr(top.size());
    if (name.empty() || name.ends_with('/')) continue;  // a folder
    if (!stays_below(whole)) return cannot_unpack(path, "a file that would lie outside its folder");
    Result<Done> out = extract(archive.get(), index, (fs::path(folder) / name).string(), left);
    if (!out) return out;
  }
  return Done{};
}

}  // namespace strandbook
