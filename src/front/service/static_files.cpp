#include "front/service/static_files.hpp"

#include <sys/stat.h>

#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "front/service/http_text.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

struct FileType {
  std::string_view extension;
  std::string_view mime;
};
constexpr std::array<FileType, 14> file_types{{{".html", "text/html; charset=utf-8"},
                                               {".js", "text/javascript; charset=utf-8"},
                                               {".mjs", "text/javascript; charset=utf-8"},
                                               {".css", "text/css; charset=utf-8"},
                                               {".json", "application/json"},
                                               {".webmanifest", "application/manifest+json"},
                                               {".svg", "image/svg+xml"},
                                               {".png", "image/png"},
                                               {".ico", "image/x-icon"},
                                               {".woff2", "font/woff2"},
                                               {".woff", "font/woff"},
                                               {".ttf", "font/ttf"},
                                               {".txt", "text/plain; charset=utf-8"},
                                               {".map", "application/json"}}};

std::string_view type_of(const fs::path& path) {
  const std::string extension = path.extension().string();
  for (const FileType& each : file_types)
    if (each.extension == extension) return each.mime;
  return "application/octet-stream";
}

/// "app-4f2c9a1b.js": a name with its content's hash in it never changes its content.
bool is_hashed(const fs::path& path) {
  const std::string stem = path.stem().string();
  const std::size_t dash = stem.find_last_of("-.");
  if (dash == std::string::npos || stem.size() - dash - 1 < 8) return false;
  const std::string_view hash = std::string_view(stem).substr(dash + 1);
  return hash.find_first_not_of("0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_") ==
             std::string_view::npos &&
         hash.find_first_of("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ") != std::string_view::npos;
}

Response plain(int status, std::string words) {
  return {status, "text/plain; charset=utf-8", std::make_shared<const std::string>(std::move(words))};
}

/// The real path of what was asked for; empty where it is not a plain file inside the folder.
fs::path inside(const fs::path& folder, const Request& request) {
  fs::path path = folder;
  for (const std::string& segment : request.segments) {
    if (segment == ".." || segment == "." || segment.find('/') != std::string::npos ||
        segment.starts_with('.'))
      return {};
    if (!segment.empty()) path /= segment;
  }
  if (request.path == "/") path /= "index.html";
  std::error_code error;
  const fs::path real = fs::canonical(path, error);
  if (error || !fs::is_regular_file(real, error)) return {};
  const fs::path root = fs::canonical(folder, error);
  const auto [end, ignored] = std::mismatch(root.begin(), root.end(), real.begin(), real.end());
  return end == root.end() ? real : fs::path{};
}

std::string tag_of(const fs::path& path) {
  struct stat facts {};
  if (::stat(path.c_str(), &facts) != 0) return {};
  return "\"" + std::to_string(facts.st_size) + "-" + std::to_string(facts.st_mtim.tv_sec) + "." +
         std::to_string(facts.st_mtim.tv_nsec) + "\"";
}

}  // namespace

Response static_file(const std::string& folder, const Request& request) {
  if (folder.empty())
    return plain(404, "The screens are not built. Build them in web/: npm ci && npm run build\n");
  const fs::path path = inside(folder, request);
  if (path.empty()) return plain(404, "There is no such page.\n");
  const std::string tag = tag_of(path);
  Response response;
  response.type = type_of(path);
  response.headers.emplace_back("ETag", tag);
  response.headers.emplace_back("Cache-Control",
                                is_hashed(path) ? "public, max-age=31536000, immutable" : "no-cache");
  if (!tag.empty() && request.header("if-none-match") == tag) {
    response.status = 304;
    return response;
  }
  fs::path chosen = path;
  std::error_code error;
  fs::path packed = path;
  packed += ".gz";
  if (accepts_gzip(request) && fs::is_regular_file(fs::symlink_status(packed, error))) {
    chosen = packed;
    response.headers.emplace_back("Content-Encoding", "gzip");
    response.headers.emplace_back("Vary", "Accept-Encoding");
  }
  std::ifstream file(chosen, std::ios::binary);
  response.body = std::make_shared<const std::string>(std::istreambuf_iterator<char>(file),
                                                      std::istreambuf_iterator<char>());
  return response;
}

}  // namespace strandbook
