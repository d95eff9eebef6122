#pragma once
// The list of a folder's files with their SHA-256, in the form that the program sha256sum checks.

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/signing/sha256.hpp"

namespace strandbook {

struct ManifestLine {
  std::string path;  ///< below the folder, with slashes
  Sha256 hash;
};

/// "64 digits, two blanks, path, line feed" for each.
std::string manifest_text(const std::vector<ManifestLine>& lines);
/// Refuses paths that lead out of the folder. `name` is what Problems call the list.
Result<std::vector<ManifestLine>> parse_manifest(std::string_view text, const std::string& name);

/// Whether a path stays below the folder it is meant for: no root, no "..", no backslash, no control
/// character.
bool stays_below(std::string_view path);

/// Paths of all plain files below a folder, in order of their bytes. A link, a device or the like is a
/// Problem.
Result<std::vector<std::string>> files_below(const std::string& folder);

/// Read in pieces: a file of any size takes little memory.
Result<Sha256> hash_of_file(const std::string& path);

}  // namespace strandbook
