#pragma once
// The parts of a zip package (XLSX, ODS), checked and with a bound on what they may unpack to.

#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// Views bytes that must outlive it. All parts together unpack to at most kMostUnpacked bytes, so that a
/// small file made to fill the memory becomes a Problem.
class ZipPackage {
 public:
  static constexpr std::size_t kMostUnpacked = std::size_t{1} << 30U;

  /// Reads the directory at the end of the bytes.
  static Result<ZipPackage> open(std::string_view bytes, const std::string& file);

  bool has(const std::string& part) const { return parts_.contains(part); }
  /// The unpacked part, its length and CRC-32 checked.
  Result<std::string> read(const std::string& part);

 private:
  struct Part {
    std::uint32_t header = 0;
    std::uint32_t packed = 0;
    std::uint32_t unpacked = 0;
    std::uint32_t crc = 0;
    std::uint16_t method = 0;
    std::uint16_t flags = 0;
  };
  ZipPackage(std::string_view bytes, std::string file) : bytes_(bytes), file_(std::move(file)) {}
  Result<Done> read_directory();
  Result<std::string> unpack(const Part& part, std::string_view packed) const;

  std::string_view bytes_;
  std::string file_;
  std::map<std::string, Part> parts_;
  std::size_t left_ = kMostUnpacked;
};

}  // namespace strandbook
