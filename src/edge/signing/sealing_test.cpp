#include "edge/signing/sealing.hpp"

#include <gtest/gtest.h>
#include <openssl/ec.h>

#include "edge/signing/own_certificate.hpp"

namespace strandbook {
namespace {

Signer signer_named(const std::string& name) {
  Signer signer;
  signer.key.reset(EVP_EC_gen("P-256"));
  signer.certificate = own_certificate_of(signer.key.get(), {name});
  return signer;
}

TEST(Sealing, ASealHoldsOverTheBytesItWasMadeOf) {
  const Signer signer = signer_named("crew K");
  const Result<std::string> der = seal(signer, "a list\n");
  ASSERT_TRUE(der);
  const Result<Seal> found = check_seal(*der, "a list\n", "manifest.cms", "");
  ASSERT_TRUE(found) << describe(found.problem());
  EXPECT_EQ(found->subject, "CN=crew K");
  EXPECT_EQ(found->fingerprint, fingerprint_of(signer.certificate.get()));
  EXPECT_FALSE(found->trusted);
}

TEST(Sealing, AChangedByteIsFound) {
  const Signer signer = signer_named("crew K");
  const Result<std::string> der = seal(signer, "a list\n");
  ASSERT_TRUE(der);
  EXPECT_FALSE(check_seal(*der, "a lisu\n", "manifest.cms", ""));
  EXPECT_FALSE(check_seal(*der, "", "manifest.cms", ""));
  for (std::size_t at = 0; at < der->size(); ++at) {
    std::string damaged = *der;
    damaged[at] = static_cast<char>(damaged[at] ^ 0x20);
    const Result<Seal> found = check_seal(damaged, "a list\n", "manifest.cms", "");
    // A byte that is not signed over may pass, but never makes another signer of it.
    if (!found) continue;
    EXPECT_EQ(found->fingerprint, fingerprint_of(signer.certificate.get())) << at;
  }
}

TEST(Sealing, WhatIsNoSealIsRefused) {
  EXPECT_FALSE(check_seal("", "x", "manifest.cms", ""));
  EXPECT_FALSE(check_seal("not a signature", "x", "manifest.cms", ""));
}

TEST(Sealing, FilesThatAreMissingAreNamed) {
  const Result<Signer> signer = signer_from_files("/nowhere/key.pem", "/nowhere/certificate.pem");
  ASSERT_FALSE(signer);
  EXPECT_EQ(signer.problem().at.file, "/nowhere/key.pem");
}

}  // namespace
}  // namespace strandbook
