#pragma once
// A package that was handed over, opened to be read: its files, and its book.

#include <string>

#include "workflow/keep_book.hpp"

namespace strandbook {

/// A package as a book to read from, in a scratch folder that lives as long as this.
class UnpackedPackage {
 public:
  static Result<UnpackedPackage> open(const std::string& package);
  UnpackedPackage(UnpackedPackage&& other) noexcept;
  UnpackedPackage& operator=(UnpackedPackage&&) = delete;
  ~UnpackedPackage();
  /// Where the package's files are.
  const std::string& folder() const { return folder_; }
  /// For files of whoever checks it.
  const std::string& scratch() const { return scratch_; }
  /// A book with all that the package's book holds, made anew in the scratch folder.
  Result<OpenBook> book() const;

 private:
  UnpackedPackage(std::string folder, std::string scratch)
      : folder_(std::move(folder)), scratch_(std::move(scratch)) {}
  std::string folder_;
  std::string scratch_;
};

/// True where the path is a folder or a ZIP that holds a package's book.
bool is_package(const std::string& path);

}  // namespace strandbook
