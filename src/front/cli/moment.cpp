#include "front/cli/moment.hpp"

#include <chrono>
#include <cstdlib>

#include "front/cli/options.hpp"

namespace strandbook {

Result<Instant> moment_given(const std::string& option, const std::string& told) {
  if (!told.empty()) {
    const Result<double> seconds = number_option(option, told, "seconds since 1970 UTC");
    if (!seconds) return seconds.problem();
    return Instant{static_cast<std::int64_t>(*seconds), true, true, true};
  }
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH")) return moment_given("SOURCE_DATE_EPOCH", epoch);
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return Instant{std::chrono::duration_cast<std::chrono::seconds>(now).count(), true, true, true};
}

}  // namespace strandbook
