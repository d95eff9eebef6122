#include "edge/signing/own_certificate.hpp"

#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>

#include <cctype>
#include <cstdint>

#include "edge/signing/hex.hpp"

namespace strandbook {
namespace {

void add_extension(X509* certificate, int kind, const std::string& value) {
  if (value.empty()) return;
  const std::unique_ptr<X509_EXTENSION, FreeBy<X509_EXTENSION_free>> extension(
      X509V3_EXT_conf_nid(nullptr, nullptr, kind, value.c_str()));
  if (extension) X509_add_ext(certificate, extension.get(), -1);
}

}  // namespace

Certificate own_certificate_of(EVP_PKEY* key, const CertificateWish& wish) {
  Certificate made(X509_new());
  X509* x509 = made.get();
  if (x509 == nullptr || key == nullptr) return {};
  std::uint64_t serial = 0;
  RAND_bytes(reinterpret_cast<unsigned char*>(&serial), sizeof serial);
  X509_set_version(x509, 2);
  ASN1_INTEGER_set_uint64(X509_get_serialNumber(x509), serial >> 1U);
  constexpr long hour_s = 3600;
  X509_gmtime_adj(X509_getm_notBefore(x509), -hour_s);
  X509_time_adj_ex(X509_getm_notAfter(x509), static_cast<int>(wish.days), 0, nullptr);
  X509_set_pubkey(x509, key);
  X509_NAME* name = X509_get_subject_name(x509);
  X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_UTF8,
                             reinterpret_cast<const unsigned char*>(wish.name.c_str()), -1, -1, 0);
  X509_set_issuer_name(x509, name);
  add_extension(x509, NID_subject_alt_name, wish.hosts);
  return X509_sign(x509, key, EVP_sha256()) > 0 ? std::move(made) : Certificate{};
}

std::string pem_of(X509* certificate) {
  const Bytes out(BIO_new(BIO_s_mem()));
  if (PEM_write_bio_X509(out.get(), certificate) != 1) return {};
  return text_in(out.get());
}

Certificate certificate_in(std::string_view pem) {
  const Bytes in = view_of(pem);
  return Certificate(PEM_read_bio_X509(in.get(), nullptr, nullptr, nullptr));
}

std::string fingerprint_of(X509* certificate) {
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned int length = 0;
  if (certificate == nullptr || X509_digest(certificate, EVP_sha256(), digest, &length) != 1) return {};
  std::string text;
  for (unsigned int i = 0; i < length; ++i) {
    if (i > 0) text += ':';
    append_hex(text, digest[i]);
  }
  for (char& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

std::string subject_of(X509* certificate) {
  const Bytes out(BIO_new(BIO_s_mem()));
  X509_NAME_print_ex(out.get(), X509_get_subject_name(certificate), 0,
                     XN_FLAG_RFC2253 & ~ASN1_STRFLGS_ESC_MSB);
  return text_in(out.get());
}

}  // namespace strandbook
