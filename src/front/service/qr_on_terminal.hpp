#pragma once
// A QR code for a terminal.

#include <string>
#include <string_view>

namespace strandbook {

/// The code of edge/report/qr_code.hpp, two rows to a line, quiet zone included; dark modules are left blank,
/// as on a dark terminal they must be.
std::string qr_for_terminal(std::string_view text);

}  // namespace strandbook
