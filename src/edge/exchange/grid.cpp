#include "edge/exchange/grid.hpp"

#include <exception>
#include <utility>

#include "edge/exchange/delimited.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/workbook.hpp"

namespace strandbook {
namespace {

Result<std::vector<Grid>> read_any(std::string bytes, const std::string& name) {
  if (is_workbook(bytes)) return read_workbook(bytes, name);
  Result<Grid> grid = read_delimited(std::move(bytes), name);
  if (!grid) return grid.problem();
  std::vector<Grid> grids;
  grids.push_back(*std::move(grid));
  return grids;
}

}  // namespace

Result<std::vector<Grid>> read_grids_from_bytes(std::string bytes, const std::string& name) {
  try {
    return read_any(std::move(bytes), name);
  } catch (const std::exception& cause) {  // in practice: out of memory
    return Problem{{name, {}, 0, {}},
                   std::string("a file that could not be held (") + cause.what() + ")",
                   "a table of cables or readings",
                   "close other programs, or split the file, and try again"};
  }
}

Result<std::vector<Grid>> read_grids(const std::string& path) {
  Result<std::string> bytes = read_file_bytes(path);
  if (!bytes) return bytes.problem();
  return read_grids_from_bytes(*std::move(bytes), path);
}

}  // namespace strandbook
