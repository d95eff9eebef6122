#pragma once
// A line of text to a meter and its answer, each within a time.

#include <chrono>
#include <memory>
#include <string>

#include "edge/instrument/meter.hpp"

namespace strandbook {

class MeterLine {
 public:
  static Result<std::unique_ptr<MeterLine>> open(const MeterAddress& address, const std::string& name,
                                                 std::chrono::milliseconds patience);
  ~MeterLine();
  MeterLine(const MeterLine&) = delete;
  MeterLine& operator=(const MeterLine&) = delete;

  Result<Done> send(const std::string& command);
  /// The answer without its line end, CR LF or LF.
  Result<std::string> ask(const std::string& command);

 private:
  struct Inside;
  explicit MeterLine(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace strandbook
