#pragma once
// A certificate that a key makes for itself: whoever takes it compares its fingerprint by another way.

#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "edge/signing/openssl_handles.hpp"

namespace strandbook {

struct CertificateWish {
  std::string name;        ///< its subject's common name
  std::string hosts = {};  ///< subject alternative names ("DNS:localhost"); may be empty
  long days = 3650;        ///< valid from an hour ago for so many days
};

/// Empty where OpenSSL cannot make it.
Certificate own_certificate_of(EVP_PKEY* key, const CertificateWish& wish);

std::string pem_of(X509* certificate);
/// The first certificate of a PEM text; empty where there is none.
Certificate certificate_in(std::string_view pem);
/// SHA-256 of the certificate, in pairs of digits with colons; empty where there is none.
std::string fingerprint_of(X509* certificate);
/// "CN=..., O=..." (RFC 2253).
std::string subject_of(X509* certificate);

}  // namespace strandbook
