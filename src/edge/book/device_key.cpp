#include "edge/book/device_key.hpp"

#include <fcntl.h>
#include <openssl/ec.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/x509.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <filesystem>
#include <vector>

#include "edge/book/placing.hpp"
#include "edge/signing/sha256.hpp"

namespace strandbook {
namespace {

unsigned char* as_uchar(std::string& bytes) { return reinterpret_cast<unsigned char*>(bytes.data()); }
const unsigned char* as_uchar(std::string_view bytes) {
  return reinterpret_cast<const unsigned char*>(bytes.data());
}

bool is_p256(EVP_PKEY* key) {
  char group[64] = {};
  std::size_t length = 0;
  return key != nullptr && EVP_PKEY_get_group_name(key, group, sizeof group, &length) == 1 &&
         std::string_view(group, length) == "prime256v1";
}

std::string public_der(EVP_PKEY* key) {
  unsigned char* der = nullptr;
  const int size = i2d_PUBKEY(key, &der);
  if (size <= 0) std::abort();  // a key that was just read or made has a public part
  std::string bytes(reinterpret_cast<const char*>(der), static_cast<std::size_t>(size));
  OPENSSL_free(der);
  return bytes;
}

std::string private_pem(EVP_PKEY* key) {
  const Bytes memory(BIO_new(BIO_s_mem()));
  if (!memory || PEM_write_bio_PKCS8PrivateKey(memory.get(), key, nullptr, nullptr, 0, nullptr, nullptr) != 1)
    std::abort();
  return text_in(memory.get());
}

Problem no_key(const std::string& path, const std::string& found) {
  return {
      {path, {}, 0, {}},
      found,
      "this device's own signing key (P-256, PEM)",
      "Move the file away and the device file beside it: a new device begins a chain of its own, and what "
      "was signed before stays valid."};
}

Problem readable_by_others(const std::string& path) {
  return {{path, {}, 0, {}},
          "a signing key that others of this machine may read",
          "a file that only its owner may read and write",
          "Take the right away (chmod 600). Where others may have read it, retire the device and begin a new "
          "one."};
}

/// Readable by its owner from the moment it exists.
Result<Done> write_secret(const std::string& path, const std::string& text) {
  const int handle = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
  if (handle < 0) return file_problem(path, errno, "a place that can be written to");
  const bool written =
      ::write(handle, text.data(), text.size()) == static_cast<ssize_t>(text.size()) && ::fsync(handle) == 0;
  const int error = errno;
  (void)::close(handle);
  if (written) return Done{};
  (void)::unlink(path.c_str());
  return file_problem(path, error, "a place that can be written to");
}

Result<Done> create_key(const std::string& path) {
  const KeyHandle key(EVP_PKEY_Q_keygen(nullptr, nullptr, "EC", "P-256"));
  if (!key) return no_key(path, "a cryptographic library that makes no key");
  const std::string temporary = path + ".part" + std::to_string(::getpid());
  (void)::unlink(temporary.c_str());
  const Result<Done> written = write_secret(temporary, private_pem(key.get()));
  if (!written) return written.problem();
  const Result<Placed> placed = place_file(temporary, path);
  if (!placed) return placed.problem();
  return Done{};
}

}  // namespace

DeviceKey::DeviceKey(KeyHandle key) : key_(std::move(key)), public_key_(public_der(key_.get())) {}

Result<std::shared_ptr<const DeviceKey>> DeviceKey::read(const std::string& path) {
  const Bytes file(BIO_new_file(path.c_str(), "rb"));
  if (!file) return file_problem(path, errno, "a signing key that can be read");
  struct stat rights {};
  if (::stat(path.c_str(), &rights) == 0 && (rights.st_mode & (S_IRWXG | S_IRWXO)) != 0)
    return readable_by_others(path);
  KeyHandle key(PEM_read_bio_PrivateKey(file.get(), nullptr, nullptr, nullptr));
  if (!is_p256(key.get())) return no_key(path, "content that is no such key");
  return std::shared_ptr<const DeviceKey>(new DeviceKey(std::move(key)));
}

Result<std::shared_ptr<const DeviceKey>> DeviceKey::load_or_create(const std::string& path) {
  std::error_code error;
  const bool there = std::filesystem::exists(path, error);
  if (error) return file_problem(path, error.value(), "a signing key");
  if (!there)
    if (const Result<Done> made = create_key(path); !made) return made.problem();
  return read(path);
}

KeyHandle DeviceKey::handle() const {
  EVP_PKEY_up_ref(key_.get());
  return KeyHandle(key_.get());
}

std::string DeviceKey::sign(std::string_view bytes) const {
  const DigestContext context(EVP_MD_CTX_new());
  std::size_t size = 0;
  const bool ready = context &&
                     EVP_DigestSignInit(context.get(), nullptr, EVP_sha256(), nullptr, key_.get()) == 1 &&
                     EVP_DigestSign(context.get(), nullptr, &size, as_uchar(bytes), bytes.size()) == 1;
  std::string signature(size, '\0');
  if (!ready || EVP_DigestSign(context.get(), as_uchar(signature), &size, as_uchar(bytes), bytes.size()) != 1)
    std::abort();  // out of memory or a broken library: nothing may be written as if it were signed
  signature.resize(size);
  return signature;
}

PublicKey::PublicKey(std::string_view der) {
  const unsigned char* at = as_uchar(der);
  KeyHandle key(d2i_PUBKEY(nullptr, &at, static_cast<long>(der.size())));
  if (is_p256(key.get())) key_ = std::move(key);
}

bool PublicKey::holds(std::string_view bytes, std::string_view signature) const {
  if (!key_) return false;
  const DigestContext context(EVP_MD_CTX_new());
  return context && EVP_DigestVerifyInit(context.get(), nullptr, EVP_sha256(), nullptr, key_.get()) == 1 &&
         EVP_DigestVerify(context.get(), as_uchar(signature), signature.size(), as_uchar(bytes),
                          bytes.size()) == 1;
}

std::string fingerprint_of(std::string_view public_key) {
  const std::string digits = text_of(sha256(public_key));
  std::string text;
  for (std::size_t i = 0; i < digits.size(); i += 4) text += (i == 0 ? "" : " ") + digits.substr(i, 4);
  return text;
}

std::string base64_of(std::string_view bytes) {
  std::string text((bytes.size() + 2) / 3 * 4 + 1, '\0');
  const int size = EVP_EncodeBlock(as_uchar(text), as_uchar(bytes), static_cast<int>(bytes.size()));
  text.resize(static_cast<std::size_t>(size));
  return text;
}

std::string bytes_of_base64(std::string_view text) {
  if (text.empty() || text.size() % 4 != 0) return {};
  std::string bytes(text.size() / 4 * 3, '\0');
  const int size = EVP_DecodeBlock(as_uchar(bytes), as_uchar(text), static_cast<int>(text.size()));
  if (size < 0) return {};
  const auto padding = static_cast<std::size_t>(std::count(text.end() - 2, text.end(), '='));
  bytes.resize(static_cast<std::size_t>(size) - padding);
  return bytes;
}

}  // namespace strandbook
