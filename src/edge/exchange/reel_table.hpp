#pragma once
// A table of reels: reel, strand, wavelength, the maker's and the site's attenuation; or one column of each
// for each wavelength. docs/before-and-after.md has the headings.

#include <vector>

#include "domain/applications/reel_check.hpp"
#include "edge/exchange/array_tables.hpp"

namespace strandbook {

Result<ReadRows<ReelReading>> read_reels(const std::vector<Grid>& sheets);

}  // namespace strandbook
