#include "domain/applications/test_window.hpp"

#include <algorithm>
#include <iterator>

namespace strandbook {

std::vector<TestWindow> windows_for(const TestWindows& windows, FibreMode mode, Nanometres application) {
  std::vector<TestWindow> found;
  std::copy_if(windows.may.begin(), windows.may.end(), std::back_inserter(found), [&](const TestWindow& row) {
    return row.mode == mode && row.from <= application && application <= row.to;
  });
  return found;
}

}  // namespace strandbook
