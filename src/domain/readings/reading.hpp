#pragma once
// References and readings as they were recorded. A reading never travels without its conditions.

#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/instant.hpp"
#include "domain/link/link.hpp"
#include "domain/problem/problem.hpp"
#include "domain/units/units.hpp"

namespace strandbook {

enum class ReferenceKind { opening, closing_check };

/// Power read with the test cords only.
struct Reference {
  std::string id;  ///< name the readings may call it by; may be empty
  ReferenceKind kind = ReferenceKind::opening;
  Nanometres wavelength;                    ///< of the source
  std::optional<Nanometres> meter_setting;  ///< wavelength key of the meter; empty = as the source
  PowerDbm power;
  std::optional<ReferenceMethod> method;
  std::optional<Instant> time;
  std::string source;
  std::string meter;
  std::string cords;
  std::string operator_name;
  Place at;
};

enum class ReadingKind : std::uint8_t {
  power,     ///< a level at the far end, dBm; loss follows from the reference
  loss,      ///< a loss typed or computed by the meter, dB
  no_light,  ///< the floor of the meter, −inf, "LO": dark, not a level
};

/// Which file and sheet a reading came from; many readings share one.
struct SourceFile {
  std::string file;
  std::string sheet;
};

/// One reading. Texts view into the ReadingSet that holds it. A million of these must fit in memory,
/// hence the plain members: `value` means dBm or dB after `kind`.
struct Reading {
  std::string_view link;
  std::string_view strand;
  std::string_view reference;
  std::string_view source;
  std::string_view meter;
  std::string_view cords;
  std::string_view operator_name;
  Nanometres wavelength;     ///< of the source; 0 = not stated
  Nanometres meter_setting;  ///< 0 = as the source
  double value = 0;
  double standard_uncertainty_db = std::numeric_limits<double>::quiet_NaN();  ///< NaN = not stated
  double length_m = std::numeric_limits<double>::quiet_NaN();                 ///< NaN = not stated
  Instant time;                                                               ///< meaningful where has_time
  bool has_time = false;
  ReadingKind kind = ReadingKind::loss;
  std::optional<Direction> direction;
  std::uint32_t file = 0;    ///< index into ReadingSet::files
  std::uint32_t row = 0;     ///< 1-based
  std::uint16_t column = 0;  ///< 1-based column of the value

  PowerDbm power() const { return {value}; }
  Decibels loss() const { return {value}; }
};

/// Readings and the texts they view. Copying is not allowed: the views would go stale.
class ReadingSet {
 public:
  ReadingSet() = default;
  ReadingSet(ReadingSet&&) = default;
  ReadingSet& operator=(ReadingSet&&) = default;

  std::vector<Reading> rows;
  std::vector<SourceFile> files;

  /// Keeps a buffer alive for as long as readings may view into it.
  void keep(std::shared_ptr<const void> buffer) { kept_.push_back(std::move(buffer)); }
  /// A lasting copy of a text that stands in no kept buffer.
  std::string_view keep_text(std::string text);
  /// Appends all of `other`, whose place in the order of files follows ours.
  void append(ReadingSet&& other);
  Place place_of(const Reading& reading) const;

 private:
  std::vector<std::shared_ptr<const void>> kept_;
};

}  // namespace strandbook
