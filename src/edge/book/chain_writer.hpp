#pragma once
// Continues one device's chain inside a transaction: ids, numbers, hashes, key, signature.

#include <vector>

#include "edge/book/device.hpp"
#include "edge/book/store.hpp"

namespace strandbook {

class ChainWriter {
 public:
  static Result<ChainWriter> begin(StoreWriter& store, const Device& device,
                                   const Surroundings& surroundings);
  /// The chain's next fact goes to the end of `facts`, to be added to the store in this order. A key that the
  /// chain does not name yet is recorded before the first.
  void add(FactDraft draft, std::vector<Fact>& facts);
  /// Signs the end of the chain; nothing where the device has no key.
  Result<Done> sign(StoreWriter& store) const;
  const Appended& appended() const { return appended_; }

 private:
  ChainWriter(const Device& device, const Surroundings& surroundings, const ChainPlace& end)
      : device_(device), random_(surroundings.random), time_ms_(surroundings.now_ms()), end_(end) {}
  void chain(FactDraft draft, std::vector<Fact>& facts);

  const Device& device_;
  const RandomBits& random_;
  std::int64_t time_ms_;  ///< of the transaction
  std::string key_fact_;  ///< to be added before the first fact; empty where the key is named
  ChainPlace end_;        ///< of the chain so far
  Appended appended_;
};

}  // namespace strandbook
