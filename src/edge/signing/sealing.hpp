#pragma once
// Signing bytes so that anyone checks them with the plain openssl program: detached CMS (RFC 5652).

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/signing/openssl_handles.hpp"

namespace strandbook {

/// A private key with the certificate that names its holder, and those that vouch for it.
struct Signer {
  KeyHandle key;
  Certificate certificate;
  std::vector<Certificate> chain = {};
};

/// Key and certificates (PEM, the signer's own first). A Problem names the file: no key, no certificate, a
/// key that is not the certificate's, a key under a password.
Result<Signer> signer_from_files(const std::string& key_file, const std::string& certificate_file);

/// DER of the detached signature over `bytes`, with the certificates inside.
Result<std::string> seal(const Signer& signer, std::string_view bytes);

/// Who signed, where the signature holds.
struct Seal {
  std::string subject;      ///< of the signer's certificate
  std::string fingerprint;  ///< of it
  std::string public_key;   ///< SubjectPublicKeyInfo, DER
  bool trusted = false;     ///< the certificate leads to one of the roots that were given
};

/// A Problem where the signature does not hold over these bytes. `roots`: file of trusted certificates (PEM);
/// may be empty. `name` is what Problems call the signature.
Result<Seal> check_seal(std::string_view der, std::string_view bytes, const std::string& name,
                        const std::string& roots);

}  // namespace strandbook
