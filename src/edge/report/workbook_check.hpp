#pragma once
// Is a workbook whole? libxlsxwriter gathers rows in scratch files whose writes it does not check, so a disk
// that fills up for a moment would leave a workbook with rows missing that opens without complaint.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace strandbook {

/// What is wrong with the workbook; nothing where every part is whole and sheet i has cells[i] cells.
std::optional<std::string> damage_of(const std::string& path, const std::vector<std::size_t>& cells);

}  // namespace strandbook
