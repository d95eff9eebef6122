#pragma once
// The meters of this user: kept in a file, asked for a reading.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "edge/instrument/meter.hpp"

namespace strandbook {

/// STRANDBOOK_INSTRUMENTS, else strandbook/instruments.json in the user's config folder.
std::string instruments_file();

/// The meters in the file; none where there is no file.
Result<std::vector<Instrument>> known_instruments();
Result<Instrument> instrument_named(const std::string& name);
/// Puts these in place of what was kept.
Result<Done> keep_instruments(const std::vector<Instrument>& instruments);
/// A list of meters as JSON, and back; `name` is what Places call the text.
std::string instruments_json(const std::vector<Instrument>& instruments);
Result<std::vector<Instrument>> instruments_from(std::string_view json, const std::string& name);

/// One reading. Where a wavelength is wanted, the meter is set to it first.
Result<MeterReading> read_meter(const Instrument& instrument, std::optional<Nanometres> wanted);

}  // namespace strandbook
