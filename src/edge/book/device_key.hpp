#pragma once
// The key that a device signs its chain of facts with: ECDSA on the curve P-256 with SHA-256 (FIPS 186-5).

#include <memory>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "edge/signing/openssl_handles.hpp"

namespace strandbook {

/// A private key. For one thread at a time.
class DeviceKey {
 public:
  /// Reads the key file (PEM, PKCS #8), or makes it, readable by its owner only. Two programs that make it at
  /// once get the same key. Refuses a key that others of the machine may read.
  static Result<std::shared_ptr<const DeviceKey>> load_or_create(const std::string& path);
  /// SubjectPublicKeyInfo (RFC 5280), DER.
  const std::string& public_key() const { return public_key_; }
  /// The key itself, for what else it signs.
  KeyHandle handle() const;
  /// DER of an ECDSA-Sig-Value (RFC 3279, 2.2.3).
  std::string sign(std::string_view bytes) const;

 private:
  explicit DeviceKey(KeyHandle key);
  static Result<std::shared_ptr<const DeviceKey>> read(const std::string& path);
  KeyHandle key_;
  std::string public_key_;
};

/// A public key read once, to check many signatures.
class PublicKey {
 public:
  /// Nothing but a P-256 key will do; empty keys hold no signature.
  explicit PublicKey(std::string_view der);
  bool holds(std::string_view bytes, std::string_view signature) const;

 private:
  KeyHandle key_;
};

/// What two people compare: SHA-256 of the public key, in groups of four digits.
std::string fingerprint_of(std::string_view public_key);

std::string base64_of(std::string_view bytes);
/// Empty where the text is none.
std::string bytes_of_base64(std::string_view text);

}  // namespace strandbook
