#include "edge/signing/sealing.hpp"

#include <openssl/err.h>
#include <openssl/pem.h>

#include <array>

#include "edge/signing/own_certificate.hpp"

namespace strandbook {
namespace {

using Stack = std::unique_ptr<STACK_OF(X509), decltype([](STACK_OF(X509) * stack) { sk_X509_free(stack); })>;
using OwnStack =
    std::unique_ptr<STACK_OF(X509),
                    decltype([](STACK_OF(X509) * stack) { sk_X509_pop_free(stack, X509_free); })>;

std::string openssl_says() {
  std::array<char, 256> words{};
  ERR_error_string_n(ERR_get_error(), words.data(), words.size());
  ERR_clear_error();
  return words.data();
}

Problem wrong_file(const std::string& path, const std::string& found, const std::string& wanted) {
  ERR_clear_error();
  return {{path, {}, 0, {}}, found, wanted, "Ask who issued it for a PEM file without a password."};
}

/// A password is never asked for: a service has nobody to type it.
int no_password(char*, int, int, void*) { return 0; }

Result<KeyHandle> key_in(const std::string& path) {
  const Bytes file(BIO_new_file(path.c_str(), "rb"));
  KeyHandle key(file ? PEM_read_bio_PrivateKey(file.get(), nullptr, no_password, nullptr) : nullptr);
  if (!key) return wrong_file(path, "no private key that can be read", "a private key (PEM)");
  return key;
}

Result<Done> read_certificates(const std::string& path, Signer& signer) {
  const Bytes file(BIO_new_file(path.c_str(), "rb"));
  if (file) signer.certificate.reset(PEM_read_bio_X509(file.get(), nullptr, nullptr, nullptr));
  if (!signer.certificate) return wrong_file(path, "no certificate that can be read", "a certificate (PEM)");
  while (Certificate more{PEM_read_bio_X509(file.get(), nullptr, nullptr, nullptr)})
    signer.chain.push_back(std::move(more));
  ERR_clear_error();
  return Done{};
}

Problem broken_seal(const std::string& name, const std::string& found) {
  ERR_clear_error();
  return {{name, {}, 0, {}},
          found,
          "a signature over the manifest as it is",
          "The package was changed after it was signed, or damaged: ask for it anew."};
}

/// OpenSSL 3.0 copies content that it knows to lie in memory, and forgets to free it where the signature
/// fails.
Bytes stream_of(std::string_view bytes) {
  Bytes stream(BIO_new(BIO_f_buffer()));
  BIO_push(stream.get(), view_of(bytes).release());
  return stream;
}

/// Whether signature and signer's certificate belong to these bytes. The certificates inside stand in for
/// roots: who they are of, and whether they still run, is another question.
bool holds_over(CMS_ContentInfo* message, std::string_view bytes) {
  const OwnStack certificates(CMS_get1_certs(message));
  const Roots store(X509_STORE_new());
  if (!certificates || !store) return false;
  for (int i = 0; i < sk_X509_num(certificates.get()); ++i)
    X509_STORE_add_cert(store.get(), sk_X509_value(certificates.get(), i));
  X509_STORE_set_flags(store.get(), X509_V_FLAG_PARTIAL_CHAIN | X509_V_FLAG_NO_CHECK_TIME);
  X509_STORE_set_purpose(store.get(), X509_PURPOSE_ANY);
  return CMS_verify(message, nullptr, store.get(), stream_of(bytes).get(), nullptr, CMS_BINARY | CMS_CADES) ==
         1;
}

/// Whether a certificate ran out since is not looked at: a package is read years later.
Result<bool> leads_to_roots(CMS_ContentInfo* message, std::string_view bytes, const std::string& roots) {
  const Roots store(X509_STORE_new());
  if (roots.empty() || !store) return false;
  if (X509_STORE_load_file(store.get(), roots.c_str()) != 1)
    return wrong_file(roots, "no certificate that can be read", "certificates that you trust (PEM)");
  X509_STORE_set_purpose(store.get(), X509_PURPOSE_ANY);
  X509_STORE_set_flags(store.get(), X509_V_FLAG_NO_CHECK_TIME);
  const bool trusted =
      CMS_verify(message, nullptr, store.get(), stream_of(bytes).get(), nullptr, CMS_BINARY) == 1;
  ERR_clear_error();
  return trusted;
}

std::string public_key_of(X509* certificate) {
  unsigned char* der = nullptr;
  const int size = i2d_X509_PUBKEY(X509_get_X509_PUBKEY(certificate), &der);
  if (size <= 0) return {};
  std::string bytes(reinterpret_cast<const char*>(der), static_cast<std::size_t>(size));
  OPENSSL_free(der);
  return bytes;
}

}  // namespace

Result<Signer> signer_from_files(const std::string& key_file, const std::string& certificate_file) {
  Signer signer;
  Result<KeyHandle> key = key_in(key_file);
  if (!key) return key.problem();
  signer.key = std::move(*key);
  if (const Result<Done> read = read_certificates(certificate_file, signer); !read) return read.problem();
  if (X509_check_private_key(signer.certificate.get(), signer.key.get()) != 1)
    return wrong_file(certificate_file, "a certificate of another key", "the certificate of " + key_file);
  return signer;
}

Result<std::string> seal(const Signer& signer, std::string_view bytes) {
  const Bytes content = view_of(bytes);
  const Stack chain(sk_X509_new_null());
  for (const Certificate& each : signer.chain) sk_X509_push(chain.get(), each.get());
  const SignedMessage message(CMS_sign(signer.certificate.get(), signer.key.get(), chain.get(), content.get(),
                                       CMS_DETACHED | CMS_BINARY | CMS_NOSMIMECAP | CMS_CADES));
  const Bytes out(BIO_new(BIO_s_mem()));
  if (!message || i2d_CMS_bio(out.get(), message.get()) != 1)
    return Problem{{}, "OpenSSL made no signature: " + openssl_says(), "", ""};
  return text_in(out.get());
}

Result<Seal> check_seal(std::string_view der, std::string_view bytes, const std::string& name,
                        const std::string& roots) {
  const Bytes in = view_of(der);
  const SignedMessage message(d2i_CMS_bio(in.get(), nullptr));
  if (!message) return broken_seal(name, "a file that holds no signature (CMS)");
  if (!holds_over(message.get(), bytes))
    return broken_seal(name, "a signature that does not hold over the manifest");
  const Stack signers(CMS_get0_signers(message.get()));
  if (!signers || sk_X509_num(signers.get()) != 1) return broken_seal(name, "not exactly one signer");
  X509* certificate = sk_X509_value(signers.get(), 0);
  const Result<bool> trusted = leads_to_roots(message.get(), bytes, roots);
  if (!trusted) return trusted.problem();
  return Seal{subject_of(certificate), fingerprint_of(certificate), public_key_of(certificate), *trusted};
}

}  // namespace strandbook
