#pragma once
// The results in an assessment.json, read as they come: a file of any size takes little memory.

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <tuple>

namespace strandbook {

/// Which test: link, strand, wavelength in nm, direction.
using TestKey = std::tuple<std::string, std::string, double, std::string>;
std::string name_of(const TestKey& key);

struct StatedResult {
  std::string outcome;
  double loss_db = 0;   ///< NaN where there is none
  double limit_db = 0;  ///< likewise
  /// Equal to a millionth of a dB, outcome to the letter.
  bool operator==(const StatedResult& other) const;
};

struct StatedTest {
  TestKey key;
  StatedResult result;
};
using AnewResults = std::map<TestKey, StatedResult>;

/// Hands every test of the list "tests" on. What comes back is the same for the same content, whatever the
/// blanks between; nothing where the file is no JSON with such a list.
std::optional<std::size_t> read_results(const std::string& path,
                                        const std::function<void(const StatedTest&)>& take);

}  // namespace strandbook
