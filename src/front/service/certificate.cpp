// A self-made certificate: who joins compares its fingerprint with the one on the terminal.

#include <fcntl.h>
#include <openssl/ec.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <system_error>

#include "front/service/sharing.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

struct FreeKey {
  void operator()(EVP_PKEY* key) const { EVP_PKEY_free(key); }
};
struct FreeCertificate {
  void operator()(X509* certificate) const { X509_free(certificate); }
};
struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using Key = std::unique_ptr<EVP_PKEY, FreeKey>;
using Certificate = std::unique_ptr<X509, FreeCertificate>;
using File = std::unique_ptr<std::FILE, CloseFile>;

constexpr long ten_years_s = 10L * 365 * 24 * 3600;

Problem cannot(const std::string& path) {
  return {{path, {}, 0, {}},
          std::generic_category().message(errno),
          "a certificate that can be kept there",
          "See that the folder may be written to."};
}

Certificate made_for(EVP_PKEY* key) {
  Certificate made(X509_new());
  X509* x509 = made.get();
  std::uint64_t serial = 0;
  RAND_bytes(reinterpret_cast<unsigned char*>(&serial), sizeof serial);
  X509_set_version(x509, 2);
  ASN1_INTEGER_set_uint64(X509_get_serialNumber(x509), serial >> 1);
  X509_gmtime_adj(X509_getm_notBefore(x509), -3600);
  X509_gmtime_adj(X509_getm_notAfter(x509), ten_years_s);
  X509_set_pubkey(x509, key);
  X509_NAME* name = X509_get_subject_name(x509);
  X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_UTF8, reinterpret_cast<const unsigned char*>("strandbook"),
                             -1, -1, 0);
  X509_set_issuer_name(x509, name);
  X509_EXTENSION* names =
      X509V3_EXT_conf_nid(nullptr, nullptr, NID_subject_alt_name, "DNS:localhost,IP:127.0.0.1");
  X509_add_ext(x509, names, -1);
  X509_EXTENSION_free(names);
  return X509_sign(x509, key, EVP_sha256()) > 0 ? std::move(made) : Certificate{};
}

/// A new file that only its owner may read, from its first byte on.
File private_file(const std::string& path) {
  const int number = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (number < 0) return {};
  ::fchmod(number, 0600);
  return File(::fdopen(number, "wb"));
}

Result<Done> make_files(const CertificateFiles& files) {
  const Key key(EVP_EC_gen("P-256"));
  const Certificate certificate = key ? made_for(key.get()) : Certificate{};
  if (!certificate) return Problem{{}, "OpenSSL could not make a certificate", "", ""};
  const File key_file = private_file(files.key);
  if (!key_file ||
      PEM_write_PrivateKey(key_file.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr) != 1)
    return cannot(files.key);
  const File file = private_file(files.certificate);
  if (!file || PEM_write_X509(file.get(), certificate.get()) != 1) return cannot(files.certificate);
  return Done{};
}

std::string fingerprint_of(const std::string& path) {
  const File file(std::fopen(path.c_str(), "rb"));
  if (!file) return {};
  const Certificate certificate(PEM_read_X509(file.get(), nullptr, nullptr, nullptr));
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned int length = 0;
  if (!certificate || X509_digest(certificate.get(), EVP_sha256(), digest, &length) != 1) return {};
  std::string text;
  for (unsigned int i = 0; i < length; ++i) {
    char pair[4];
    std::snprintf(pair, sizeof pair, "%02X", digest[i]);
    text += (text.empty() ? "" : ":") + std::string(pair);
  }
  return text;
}

}  // namespace

Result<CertificateFiles> own_certificate(const std::string& folder) {
  std::error_code error;
  fs::create_directories(folder, error);
  CertificateFiles files{folder + "/certificate.pem", folder + "/certificate-key.pem", {}};
  if (!fs::exists(files.certificate, error) || !fs::exists(files.key, error)) {
    const Result<Done> made = make_files(files);
    if (!made) return made.problem();
  }
  files.fingerprint = fingerprint_of(files.certificate);
  if (files.fingerprint.empty()) return cannot(files.certificate);
  return files;
}

}  // namespace strandbook
