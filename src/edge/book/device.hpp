#pragma once
// The device that writes facts, and what it draws on from outside: its clock and random bits.

#include <cstdint>
#include <functional>
#include <string>

#include "domain/problem/problem.hpp"
#include "edge/book/device_key.hpp"
#include "edge/book/uuid.hpp"

namespace strandbook {

/// Handed in, so that tests choose the time and the ids.
struct Surroundings {
  std::function<std::int64_t()> now_ms;  ///< milliseconds UTC since 1970
  RandomBits random;
};

/// The machine's clock and OpenSSL's random bits.
Surroundings system_surroundings();

/// An author of facts. Its id lives in a file of its own that is never copied to another machine.
struct Device {
  Uuid id;
  std::shared_ptr<const DeviceKey> key;  ///< without one its chain is not signed
  std::string by = {};  ///< who recorded through it, as its facts shall name them; may be empty
};

/// The device as the author of its chain in one book. A chain is of one device and one book, so that books
/// that one machine wrote can be merged.
Device in_book(const Device& device, const Uuid& book);

/// Reads the device file and the key beside it (".key"), or makes them, folders and all, with a new id. Two
/// programs that make them at once get the same device.
Result<Device> load_or_create_device(const std::string& path, const Surroundings& surroundings);

}  // namespace strandbook
