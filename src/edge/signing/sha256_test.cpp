#include "edge/signing/sha256.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

// SOURCE: NIST, FIPS 180-4 examples: SHA-256 of "abc" and of the 448-bit message.
TEST(Sha256, MatchesThePublishedExamples) {
  EXPECT_EQ(text_of(sha256("abc")), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(text_of(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

TEST(Sha256, PiecesGiveWhatTheWholeGives) {
  Sha256Sum sum;
  sum.add("a");
  sum.add("");
  sum.add("bc");
  EXPECT_EQ(sum.finish(), sha256("abc"));
}

}  // namespace
}  // namespace strandbook
