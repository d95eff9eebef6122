#pragma once
// Secrets that are told to people and devices.

#include <string>
#include <string_view>

namespace strandbook {

/// Each sign drawn evenly by OpenSSL; the program ends where there is no randomness.
std::string random_text(std::string_view signs, std::size_t length);

}  // namespace strandbook
