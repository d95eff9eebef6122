#pragma once
// Continues one device's chain inside a transaction: ids, numbers, hashes, key, signature.

#include "edge/book/device.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

class ChainWriter {
 public:
  static Result<ChainWriter> begin(StoreWriter& store, const Device& device,
                                   const Surroundings& surroundings);
  /// A key that the chain does not name yet is recorded before the first.
  Result<Done> add(FactDraft draft);
  /// Signs the end of the chain; nothing where the device has no key.
  Result<Done> sign();
  const Appended& appended() const { return appended_; }

 private:
  ChainWriter(StoreWriter& store, const Device& device, const Surroundings& surroundings)
      : store_(store), device_(device), random_(surroundings.random) {
    last_.time_ms = surroundings.now_ms();
    last_.device = device.id;
  }
  Result<Done> chain(FactDraft draft);

  StoreWriter& store_;
  const Device& device_;
  const RandomBits& random_;
  std::string key_fact_;  ///< to be added before the first fact; empty where the key is named
  Fact last_;             ///< end of the chain so far; its time is that of the transaction
  Appended appended_;
};

}  // namespace strandbook
