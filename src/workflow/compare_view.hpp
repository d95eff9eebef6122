#pragma once
// What changed between two recordings, as a screen shows it: the surest changes first, each with its margins.

#include <string>

#include "domain/problem/progress.hpp"
#include "workflow/compare_recordings.hpp"
#include "workflow/keep_book.hpp"

namespace strandbook {

/// Compares a book with a file that somebody chose: a package or the JSON of assess, nothing else, as another
/// kind of file could be a book that names files of this computer. `path`: where the file lies; `name`: what
/// it is called. Problems name the file by `name`.
Result<ComparedJobs> compare_with_file(const OpenBook& book, const std::string& path, const std::string& name,
                                       const Progress& progress);

/// At most `most` rows of each list; margins are limit − loss, uncertainties U (k = 2), both in dB.
std::string comparison_view_json(const ComparedJobs& work, std::size_t most);

}  // namespace strandbook
