#include "edge/book/time_stamp.hpp"

#include <openssl/err.h>
#include <openssl/rand.h>
#include <openssl/ts.h>
#include <openssl/x509.h>

#include <array>
#include <ctime>
#include <memory>

#include "edge/signing/openssl_handles.hpp"
#include "edge/signing/own_certificate.hpp"

namespace strandbook {
namespace {

using Request = std::unique_ptr<TS_REQ, FreeBy<TS_REQ_free>>;
using Response = std::unique_ptr<TS_RESP, FreeBy<TS_RESP_free>>;
using Token = std::unique_ptr<PKCS7, FreeBy<PKCS7_free>>;
using Info = std::unique_ptr<TS_TST_INFO, FreeBy<TS_TST_INFO_free>>;

Problem wrong(const std::string& name, std::string found) {
  return {{name, {}, 0, {}},
          std::move(found),
          "a time-stamp response (RFC 3161) over the ends of this book's chains",
          "Ask for it with the request that `strandbook book stamp --request` wrote, and keep the .ends file "
          "beside it."};
}

std::string openssl_words() {
  std::array<char, 256> words{};
  ERR_error_string_n(ERR_get_error(), words.data(), words.size());
  ERR_clear_error();
  return words.data();
}

template <class T, class Encode>
std::string der_of(const T* thing, Encode encode) {
  unsigned char* bytes = nullptr;
  const int size = encode(thing, &bytes);
  if (size <= 0) return {};
  std::string der(reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(size));
  OPENSSL_free(bytes);
  return der;
}

/// The token of a response that was granted, or the token itself.
Result<Token> token_in(std::string_view der, const std::string& name) {
  const auto* at = reinterpret_cast<const unsigned char*>(der.data());
  if (const Response response{d2i_TS_RESP(nullptr, &at, static_cast<long>(der.size()))}) {
    const long status = ASN1_INTEGER_get(TS_STATUS_INFO_get0_status(TS_RESP_get_status_info(response.get())));
    PKCS7* token = TS_RESP_get_token(response.get());
    if (status > 1 || token == nullptr)
      return wrong(name, "a response that was not granted (status " + std::to_string(status) + ")");
    return Token{PKCS7_dup(token)};
  }
  ERR_clear_error();
  at = reinterpret_cast<const unsigned char*>(der.data());
  Token token{d2i_PKCS7(nullptr, &at, static_cast<long>(der.size()))};
  if (token && PKCS7_type_is_signed(token.get())) return token;
  ERR_clear_error();
  return wrong(name, "no time-stamp response");
}

Result<Done> check_imprint(const TS_TST_INFO* info, std::string_view bytes, const std::string& name) {
  TS_MSG_IMPRINT* imprint = TS_TST_INFO_get_msg_imprint(const_cast<TS_TST_INFO*>(info));
  const ASN1_OBJECT* algorithm = nullptr;
  X509_ALGOR_get0(&algorithm, nullptr, nullptr, TS_MSG_IMPRINT_get_algo(imprint));
  const ASN1_OCTET_STRING* hash = TS_MSG_IMPRINT_get_msg(imprint);
  const Sha256 wanted = sha256(bytes);
  const std::string_view found(reinterpret_cast<const char*>(ASN1_STRING_get0_data(hash)),
                               static_cast<std::size_t>(ASN1_STRING_length(hash)));
  const std::string_view held(reinterpret_cast<const char*>(wanted.bytes.data()), wanted.bytes.size());
  if (OBJ_obj2nid(algorithm) != NID_sha256 || found != held) return wrong(name, "a stamp over other bytes");
  return Done{};
}

/// The one certificate that signed the token and came with it.
Result<X509*> signer_of(PKCS7* token, const std::string& name) {
  STACK_OF(X509)* signers = PKCS7_get0_signers(token, nullptr, 0);
  X509* signer = signers != nullptr && sk_X509_num(signers) == 1 ? sk_X509_value(signers, 0) : nullptr;
  sk_X509_free(signers);
  ERR_clear_error();
  if (signer == nullptr) return wrong(name, "a stamp without the certificate that signed it");
  return signer;
}

Result<Done> check_signature(PKCS7* token, X509* signer, const std::string& name) {
  const Bytes content{PKCS7_dataInit(token, nullptr)};
  std::array<char, 4096> part{};
  while (content && BIO_read(content.get(), part.data(), part.size()) > 0) continue;
  PKCS7_SIGNER_INFO* info = sk_PKCS7_SIGNER_INFO_value(PKCS7_get_signer_info(token), 0);
  if (content && PKCS7_signatureVerify(content.get(), token, info, signer) == 1) return Done{};
  ERR_clear_error();
  return wrong(name, "a stamp whose signature does not hold");
}

std::int64_t seconds_of(const ASN1_GENERALIZEDTIME* time) {
  std::tm parts{};
  if (ASN1_TIME_to_tm(time, &parts) != 1) return 0;
  return static_cast<std::int64_t>(timegm(&parts));
}

}  // namespace

Result<std::string> time_stamp_request(std::string_view bytes) {
  const Request request{TS_REQ_new()};
  const std::unique_ptr<TS_MSG_IMPRINT, FreeBy<TS_MSG_IMPRINT_free>> imprint{TS_MSG_IMPRINT_new()};
  const std::unique_ptr<X509_ALGOR, FreeBy<X509_ALGOR_free>> algorithm{X509_ALGOR_new()};
  const std::unique_ptr<ASN1_INTEGER, FreeBy<ASN1_INTEGER_free>> nonce{ASN1_INTEGER_new()};
  Sha256 hash = sha256(bytes);
  std::uint64_t once = 0;
  RAND_bytes(reinterpret_cast<unsigned char*>(&once), sizeof once);
  X509_ALGOR_set0(algorithm.get(), OBJ_nid2obj(NID_sha256), V_ASN1_NULL, nullptr);
  const bool made =
      TS_MSG_IMPRINT_set_algo(imprint.get(), algorithm.get()) == 1 &&
      TS_MSG_IMPRINT_set_msg(imprint.get(), hash.bytes.data(), hash.bytes.size()) == 1 &&
      ASN1_INTEGER_set_uint64(nonce.get(), once >> 1U) == 1 && TS_REQ_set_version(request.get(), 1) == 1 &&
      TS_REQ_set_msg_imprint(request.get(), imprint.get()) == 1 &&
      TS_REQ_set_nonce(request.get(), nonce.get()) == 1 && TS_REQ_set_cert_req(request.get(), 1) == 1;
  if (!made) return Problem{{}, "OpenSSL made no request: " + openssl_words(), "", ""};
  return der_of(request.get(), i2d_TS_REQ);
}

Result<TimeStamp> read_time_stamp(std::string_view der, std::string_view bytes, const std::string& name) {
  const Result<Token> token = token_in(der, name);
  if (!token) return token.problem();
  const Info info{PKCS7_to_TS_TST_INFO(token->get())};
  if (!info) {
    ERR_clear_error();
    return wrong(name, "no time-stamp response");
  }
  if (Result<Done> same = check_imprint(info.get(), bytes, name); !same) return same.problem();
  const Result<X509*> signer = signer_of(token->get(), name);
  if (!signer) return signer.problem();
  if (Result<Done> held = check_signature(token->get(), *signer, name); !held) return held.problem();
  return TimeStamp{seconds_of(TS_TST_INFO_get_time(info.get())), subject_of(*signer),
                   der_of(token->get(), i2d_PKCS7)};
}

Result<Done> check_trust(const TimeStamp& stamp, const std::string& trusted_roots) {
  const Roots roots{X509_STORE_new()};
  if (X509_STORE_load_file(roots.get(), trusted_roots.c_str()) != 1) {
    ERR_clear_error();
    return Problem{
        {trusted_roots, {}, 0, {}}, "no certificates", "trusted roots (PEM)", "See that the name is right."};
  }
  const auto* at = reinterpret_cast<const unsigned char*>(stamp.token.data());
  const Token token{d2i_PKCS7(nullptr, &at, static_cast<long>(stamp.token.size()))};
  X509* signer = nullptr;
  const bool holds = token && TS_RESP_verify_signature(token.get(), nullptr, roots.get(), &signer) == 1;
  X509_free(signer);
  ERR_clear_error();
  if (holds) return Done{};
  return Problem{{trusted_roots, {}, 0, {}},
                 "no root that the stamp of " + stamp.authority + " leads to",
                 "the root of that authority",
                 "Get the root certificate from the authority itself."};
}

}  // namespace strandbook
