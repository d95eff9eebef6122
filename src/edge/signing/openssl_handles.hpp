#pragma once
// OpenSSL's things, freed where they go out of sight.

#include <openssl/bio.h>
#include <openssl/cms.h>
#include <openssl/evp.h>
#include <openssl/x509.h>

#include <memory>
#include <string>
#include <string_view>

namespace strandbook {

template <auto function>
struct FreeBy {
  template <class T>
  void operator()(T* thing) const {
    function(thing);
  }
};
using KeyHandle = std::unique_ptr<EVP_PKEY, FreeBy<EVP_PKEY_free>>;
using DigestContext = std::unique_ptr<EVP_MD_CTX, FreeBy<EVP_MD_CTX_free>>;
using Bytes = std::unique_ptr<BIO, FreeBy<BIO_free_all>>;
using Certificate = std::unique_ptr<X509, FreeBy<X509_free>>;
using Roots = std::unique_ptr<X509_STORE, FreeBy<X509_STORE_free>>;
using SignedMessage = std::unique_ptr<CMS_ContentInfo, FreeBy<CMS_ContentInfo_free>>;

/// What was written into a memory BIO.
inline std::string text_in(BIO* memory) {
  char* text = nullptr;
  const long size = BIO_get_mem_data(memory, &text);
  return {text, static_cast<std::size_t>(size)};
}

/// Views bytes that must outlive it.
inline Bytes view_of(std::string_view bytes) {
  return Bytes(BIO_new_mem_buf(bytes.data(), static_cast<int>(bytes.size())));
}

}  // namespace strandbook
