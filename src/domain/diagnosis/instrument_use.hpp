#pragma once
// Whether instruments were in calibration on the day of each reading.

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "domain/verdict/assessment.hpp"

namespace strandbook {

/// The meter and the source that a test with a reading was read with: as the reading names them, else as its
/// reference does; may be empty. Views into the assessment.
std::string_view meter_of(const Assessment& all, const JudgedTest& test);
std::string_view source_of(const Assessment& all, const JudgedTest& test);

/// Certificates of the instrument, however its name is spaced or cased; none of a nameless one.
std::vector<const Calibration*> certificates_of(const Assessment& all, std::string_view instrument);

/// Tests of a block whose readings one meter or source took.
struct InstrumentUse {
  std::string instrument;              ///< as the readings name it
  bool listed = false;                 ///< there is a certificate of it
  std::vector<std::uint32_t> outside;  ///< tests on a day that no certificate covers
  std::vector<std::uint32_t> undated;  ///< tests on no day that is known
  std::vector<std::uint32_t> any;      ///< tests with an instrument that is not listed
  std::int64_t last_s = 0;             ///< last dated reading, seconds as in Instant; 0 = none
};

/// Nothing where the job has no certificates.
std::vector<InstrumentUse> instruments_in_use(const Assessment& all, std::uint32_t first_test,
                                              std::uint32_t last_test);

}  // namespace strandbook
