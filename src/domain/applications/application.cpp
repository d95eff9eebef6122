#include "domain/applications/application.hpp"

namespace strandbook {

std::string_view text_of(WavelengthUse use) {
  switch (use) {
    case WavelengthUse::one:
      return "one";
    case WavelengthUse::multiplexed:
      return "multiplexed";
    case WavelengthUse::per_direction:
      return "per direction";
  }
  return {};
}

std::string_view text_of(ApplicationFamily family) {
  switch (family) {
    case ApplicationFamily::ethernet:
      return "Ethernet";
    case ApplicationFamily::fibre_channel:
      return "Fibre Channel";
    case ApplicationFamily::passive_optical:
      return "passive optical network";
    case ApplicationFamily::telecom:
      return "telecom";
    case ApplicationFamily::legacy:
      return "legacy";
  }
  return {};
}

}  // namespace strandbook
