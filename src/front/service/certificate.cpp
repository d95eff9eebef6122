// A self-made certificate: who joins compares its fingerprint with the one on the terminal.

#include <fcntl.h>
#include <openssl/ec.h>
#include <openssl/pem.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <system_error>

#include "edge/exchange/file_bytes.hpp"
#include "edge/signing/own_certificate.hpp"
#include "front/service/sharing.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, CloseFile>;

Problem cannot(const std::string& path) {
  return {{path, {}, 0, {}},
          std::generic_category().message(errno),
          "a certificate that can be kept there",
          "See that the folder may be written to."};
}

/// A new file that only its owner may read, from its first byte on.
File private_file(const std::string& path) {
  const int number = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (number < 0) return {};
  ::fchmod(number, 0600);
  return File(::fdopen(number, "wb"));
}

Result<Done> make_files(const CertificateFiles& files) {
  const KeyHandle key(EVP_EC_gen("P-256"));
  const Certificate certificate =
      key ? own_certificate_of(key.get(), {"strandbook", "DNS:localhost,IP:127.0.0.1"}) : Certificate{};
  if (!certificate) return Problem{{}, "OpenSSL could not make a certificate", "", ""};
  const File key_file = private_file(files.key);
  if (!key_file ||
      PEM_write_PrivateKey(key_file.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr) != 1)
    return cannot(files.key);
  const File file = private_file(files.certificate);
  if (!file || PEM_write_X509(file.get(), certificate.get()) != 1) return cannot(files.certificate);
  return Done{};
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
  const Result<std::string> pem = read_file_bytes(files.certificate);
  if (!pem) return pem.problem();
  files.fingerprint = fingerprint_of(certificate_in(*pem).get());
  if (files.fingerprint.empty()) return cannot(files.certificate);
  return files;
}

}  // namespace strandbook
