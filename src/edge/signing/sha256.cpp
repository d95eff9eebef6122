#include "edge/signing/sha256.hpp"

#include <openssl/evp.h>

#include <cstdlib>

#include "edge/signing/hex.hpp"

namespace strandbook {
std::string text_of(const Sha256& hash) {
  std::string text(64, '0');
  char* at = text.data();
  for (const std::uint8_t byte : hash.bytes) at = put_hex(at, byte);
  return text;
}

std::optional<Sha256> parse_sha256(std::string_view text) {
  if (text.size() != 64) return std::nullopt;
  Sha256 hash;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const int value = hex_value(text[i]);
    if (value < 0) return std::nullopt;
    hash.bytes[i / 2] = static_cast<std::uint8_t>(hash.bytes[i / 2] << 4U | value);
  }
  return hash;
}

Sha256 sha256(std::string_view bytes) {
  // Fetched once for each thread: a look-up for each of a million facts would cost more than the digest.
  thread_local const std::unique_ptr<EVP_MD, FreeBy<EVP_MD_free>> digest{
      EVP_MD_fetch(nullptr, "SHA256", nullptr)};
  thread_local const DigestContext context{EVP_MD_CTX_new()};
  Sha256 hash;
  const bool done = digest && context && EVP_DigestInit_ex(context.get(), digest.get(), nullptr) == 1 &&
                    EVP_DigestUpdate(context.get(), bytes.data(), bytes.size()) == 1 &&
                    EVP_DigestFinal_ex(context.get(), hash.bytes.data(), nullptr) == 1;
  if (!done) std::abort();  // a machine whose library has no SHA-256 can vouch for nothing
  return hash;
}

// Likewise where OpenSSL fails in the middle: there is no sum that may be written down.
Sha256Sum::Sha256Sum() : context_(EVP_MD_CTX_new()) {
  if (!context_ || EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr) != 1) std::abort();
}

void Sha256Sum::add(std::string_view piece) {
  if (EVP_DigestUpdate(context_.get(), piece.data(), piece.size()) != 1) std::abort();
}

Sha256 Sha256Sum::finish() {
  Sha256 hash;
  if (EVP_DigestFinal_ex(context_.get(), hash.bytes.data(), nullptr) != 1) std::abort();
  return hash;
}

}  // namespace strandbook
