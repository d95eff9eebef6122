#pragma once
// A finished draft, read back as memory.

#include <cstddef>
#include <span>
#include <string>

#include "domain/problem/problem.hpp"

namespace strandbook {

class MappedFile {
 public:
  static Result<MappedFile> open(const std::string& path);
  MappedFile(MappedFile&& other) noexcept;
  MappedFile& operator=(MappedFile&&) = delete;
  ~MappedFile();
  std::span<const unsigned char> bytes() const { return {static_cast<const unsigned char*>(start_), size_}; }

 private:
  MappedFile(void* start, std::size_t size) : start_(start), size_(size) {}
  void* start_;
  std::size_t size_;
};

}  // namespace strandbook
