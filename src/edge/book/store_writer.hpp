#pragma once
// What a store lets happen inside one transaction. Whoever holds it decides what is added; nothing is
// changed.

#include <optional>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "edge/book/fact.hpp"
#include "edge/book/head.hpp"

namespace strandbook {

/// A file to keep as it is, found again by the SHA-256 of its bytes.
struct FileToKeep {
  Sha256 hash;
  std::string_view bytes;
};

/// A place in a device's chain.
struct ChainPlace {
  Uuid id;
  std::int64_t sequence = 0;  ///< 0: before the first fact
  Sha256 previous;
  Sha256 hash;
};

class StoreWriter {
 public:
  StoreWriter() = default;
  StoreWriter(const StoreWriter&) = delete;
  StoreWriter& operator=(const StoreWriter&) = delete;
  virtual ~StoreWriter() = default;

  /// The furthest fact of a device; no other writer can add to the chain until the transaction ends.
  virtual Result<ChainPlace> end_of_chain(const Uuid& device) = 0;
  virtual Result<std::optional<ChainPlace>> at(const Uuid& device, std::int64_t sequence) = 0;
  virtual Result<bool> holds(const Uuid& fact) = 0;
  /// The fact that an entry of a screen became, here or by another service; until the transaction ends no
  /// other can record the same entry.
  virtual Result<std::optional<Uuid>> recorded(std::string_view entry) = 0;
  /// Body of the last fact that names a key of the device, up to this place; empty where there is none.
  virtual Result<std::string> key_fact(const Uuid& device, std::int64_t up_to) = 0;
  /// Neither its id nor its place in the chain may be taken.
  virtual Result<Done> add(const Fact& fact) = 0;
  /// Left alone where that place is signed already.
  virtual Result<Done> add(const Head& head) = 0;
  /// Left alone where it is kept already.
  virtual Result<Done> keep(const FileToKeep& file) = 0;
};

/// The name that a screen gave the entry which a fact's body stands for; empty where there is none.
std::string_view entry_in(std::string_view body);

}  // namespace strandbook
