#include "edge/exchange/cell_text.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

TEST(CellText, TrimsOnlyOuterBlanks) {
  EXPECT_EQ(trimmed("  007 1E10\t\r"), "007 1E10");
  EXPECT_EQ(trimmed("\xC2\xA0x\xC2\xA0 "), "x");
  EXPECT_EQ(trimmed(" \t "), "");
}

TEST(CellText, FoldsAccentsAndCase) {
  EXPECT_EQ(folded("LÄNGE"), "lange");
  EXPECT_EQ(folded("Longitud de onda (µm)"), "longitud de onda (um)");
  EXPECT_EQ(folded("λ"), "lambda");
  EXPECT_EQ(folded("Mesuré à"), "mesure a");
  EXPECT_EQ(folded("a\xCC\x88"), "a");
  EXPECT_EQ(bare_key("Dämpfung [dB]"), "dampfungdb");
  EXPECT_EQ(bare_key("A→B"), "ab");
}

TEST(CellText, SurvivesCutSigns) {
  EXPECT_EQ(folded("\xC3"), " ");
  EXPECT_EQ(folded("x\xE2\x86"), "x ");
}

}  // namespace
}  // namespace strandbook
