#include "edge/package/manifest.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <system_error>

namespace strandbook {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t hash_digits = 64;

Problem unreadable(const std::string& path, const std::string& why) {
  return {{path, {}, 0, {}}, why, "a file that can be read", "See that the whole package was copied."};
}

}  // namespace

std::string manifest_text(const std::vector<ManifestLine>& lines) {
  std::string text;
  for (const ManifestLine& line : lines) text += text_of(line.hash) + "  " + line.path + "\n";
  return text;
}

bool stays_below(std::string_view path) {
  if (path.empty() || path.front() == '/') return false;
  const bool bad = std::any_of(path.begin(), path.end(), [](char c) {
    return c == '\\' || static_cast<unsigned char>(c) < ' ' || c == '\x7f';
  });
  for (std::size_t at = 0; at <= path.size() && !bad;) {
    const std::size_t end = std::min(path.find('/', at), path.size());
    const std::string_view part = path.substr(at, end - at);
    if (part.empty() || part == "." || part == "..") return false;
    at = end + 1;
  }
  return !bad;
}

Result<std::vector<ManifestLine>> parse_manifest(std::string_view text, const std::string& name) {
  std::vector<ManifestLine> lines;
  for (std::size_t row = 1; !text.empty(); ++row) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    const auto hash = parse_sha256(line.substr(0, std::min(line.size(), hash_digits)));
    const std::string_view path = line.size() > hash_digits + 2 ? line.substr(hash_digits + 2) : "";
    if (!hash || line.substr(hash_digits, 2) != "  " || !stays_below(path))
      return Problem{{name, {}, row, {}},
                     "a line that names no file of the package",
                     "a SHA-256 of 64 digits, two blanks and a path below the folder",
                     "The list was changed or damaged: ask for the package anew."};
    lines.push_back({std::string(path), *hash});
  }
  return lines;
}

Result<std::vector<std::string>> files_below(const std::string& folder) {
  std::vector<std::string> paths;
  std::error_code error;
  for (fs::recursive_directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    const fs::file_status status = at->symlink_status(error);
    if (fs::is_directory(status)) continue;
    const std::string path = at->path().lexically_relative(folder).generic_string();
    if (!fs::is_regular_file(status) || !stays_below(path))
      return unreadable(path, "a link, a device or a name that a package cannot hold");
    paths.push_back(path);
  }
  if (error) return unreadable(folder, error.message());
  std::sort(paths.begin(), paths.end());
  return paths;
}

Result<Sha256> hash_of_file(const std::string& path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), &std::fclose);
  if (!file) return unreadable(path, std::generic_category().message(errno));
  Sha256Sum sum;
  std::array<char, 1U << 16U> part{};
  std::size_t got = 0;
  while ((got = std::fread(part.data(), 1, part.size(), file.get())) > 0) sum.add({part.data(), got});
  if (std::ferror(file.get()) != 0) return unreadable(path, std::generic_category().message(errno));
  return sum.finish();
}

}  // namespace strandbook
