#pragma once
// A text as a QR code (ISO/IEC 18004), for the camera of a phone.

#include <string>
#include <string_view>
#include <vector>

namespace strandbook {

/// Rows of '1' (dark) and '0', without the quiet zone of four modules around. Empty where the text is too
/// long.
std::vector<std::string> qr_rows(std::string_view text);

}  // namespace strandbook
