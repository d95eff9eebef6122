#include "edge/exchange/grid.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <atomic>
#include <cstdio>
#include <fstream>
#include <thread>

namespace strandbook {
namespace {

std::string sample(const std::string& name) { return STRANDBOOK_ROOT "/tests/data/grids/" + name; }

struct SampleCase {
  const char* file;
  const char* how_read;
};

class SampleFile : public testing::TestWithParam<SampleCase> {};

TEST_P(SampleFile, GivesTheSameTable) {
  const auto grids = read_grids(sample(GetParam().file));
  ASSERT_TRUE(grids) << describe(grids.problem());
  const Grid& grid = grids->front();
  EXPECT_EQ(grid.how_read, GetParam().how_read);
  EXPECT_EQ(grid.cell(0, 0), "Strang");
  EXPECT_EQ(grid.cell(0, 1), "L\xC3\xA4nge m");
  EXPECT_EQ(grid.cell(1, 1), "1.250,5");
  EXPECT_EQ(grid.cell(2, 2), "3,15");
  EXPECT_EQ(grid.rows(), 3U);
  EXPECT_EQ(grid.cell(2, 3), "");
}

INSTANTIATE_TEST_SUITE_P(
    Encodings, SampleFile,
    testing::Values(
        SampleCase{"semicolon-decimal-comma-mark.csv", "UTF-8 with byte-order mark; ';' between cells"},
        SampleCase{"semicolon-windows-1252.csv", "Windows-1252 (it is not valid UTF-8); ';' between cells"},
        SampleCase{"tab-utf16.txt", "UTF-16, low byte first, with byte-order mark; tab between cells"}));

TEST(ReadGrids, KeepsRowNumbersOfThePersonsProgram) {
  const auto quoted = read_grids(sample("quoted.csv"));
  ASSERT_TRUE(quoted);
  EXPECT_EQ(quoted->front().cell(4, 2), "last line open");
  EXPECT_EQ(describe(quoted->front().place(4)), sample("quoted.csv") + ", row 5");
  const auto stated = read_grids(sample("stated-delimiter.csv"));
  ASSERT_TRUE(stated);
  EXPECT_EQ(stated->front().width(0), 0U);
  EXPECT_EQ(stated->front().cell(2, 0), "A,1");
}

TEST(ReadGrids, NamesTheRowOfAQuoteThatIsNeverClosed) {
  const auto grids = read_grids(sample("quote-never-closed.csv"));
  ASSERT_FALSE(grids);
  EXPECT_EQ(grids.problem().at.row, 3U);
}

TEST(ReadGrids, TellsKindsApartByContentNotByName) {
  std::ifstream file(sample("tray.ods"), std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  const auto grids = read_grids_from_bytes(bytes, "renamed.csv");
  ASSERT_TRUE(grids) << describe(grids.problem());
  EXPECT_EQ(grids->front().place(0), (Place{"renamed.csv", "Tray", 1, {}}));
}

TEST(ReadGrids, SaysWhyAFileCannotBeRead) {
  EXPECT_EQ(read_grids(sample("none.csv")).problem().found, "no such file");
  EXPECT_EQ(read_grids(sample("")).problem().found, "a folder, not a file");
  EXPECT_EQ(read_grids("/dev/null").problem().found, "something that is not an ordinary file");
  EXPECT_EQ(read_grids("").problem().found, "no such file");
}

TEST(ReadGrids, RefusesAnEmptyFile) {
  const std::string path = testing::TempDir() + "strandbook_empty.csv";
  std::ofstream(path).flush();
  EXPECT_EQ(read_grids(path).problem().found, "nothing in the file");
  std::remove(path.c_str());
}

/// A writer that never stops is met again and again; each time the whole table or the problem comes out.
TEST(ReadGrids, NoticesAFileThatChangesMeanwhile) {
  const std::string path = testing::TempDir() + "strandbook_changing.csv";
  std::ofstream out(path);
  out << "a,b\n" << std::flush;
  std::atomic<bool> stop = false;
  std::thread writer([&] {
    while (!stop) out << std::string(4096, '1') << ",2\n" << std::flush;
  });
  bool noticed = false;
  for (int attempt = 0; attempt < 2000 && !noticed; ++attempt) {
    const auto grids = read_grids(path);
    noticed = !grids && grids.problem().found == "the file changed while it was read";
  }
  stop = true;
  writer.join();
  std::remove(path.c_str());
  EXPECT_TRUE(noticed);
}

}  // namespace
}  // namespace strandbook
