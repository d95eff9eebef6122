#include <gtest/gtest.h>
#include <zip.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "edge/package/manifest.hpp"
#include "edge/package/zip_folder.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

class Package : public testing::Test {
 protected:
  void SetUp() override {
    std::string name = (fs::temp_directory_path() / "strandbook-package-test-XXXXXX").string();
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    root_ = name;
    fs::create_directories(root_ / "in/sub");
    put("in/a.txt", "alpha");
    put("in/sub/b.txt", std::string(100'000, 'b'));
  }
  void TearDown() override { fs::remove_all(root_); }
  void put(const std::string& name, const std::string& content) const {
    std::ofstream(root_ / name, std::ios::binary) << content;
  }
  std::string text_of_file(const std::string& name) const {
    std::ifstream file(root_ / name, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
  }
  std::string at(const std::string& name) const { return (root_ / name).string(); }
  /// A ZIP with one entry of this name.
  void zip_with(const std::string& name) const {
    zip_t* archive = zip_open(at("odd.zip").c_str(), ZIP_CREATE | ZIP_TRUNCATE, nullptr);
    zip_file_add(archive, name.c_str(), zip_source_buffer(archive, "x", 1, 0), 0);
    zip_close(archive);
  }
  fs::path root_;
};

constexpr Instant noon{1'780'000'000, true, true, true};

TEST_F(Package, AFolderComesBackFromItsZip) {
  ASSERT_TRUE(zip_folder(at("in"), "hall", noon, at("out.zip")));
  fs::create_directories(root_ / "back");
  ASSERT_TRUE(unzip_into(at("out.zip"), at("back")));
  EXPECT_EQ(text_of_file("back/a.txt"), "alpha");
  EXPECT_EQ(text_of_file("back/sub/b.txt"), std::string(100'000, 'b'));
}

TEST_F(Package, TheSameFolderGivesTheSameBytes) {
  ASSERT_TRUE(zip_folder(at("in"), "hall", noon, at("one.zip")));
  ASSERT_TRUE(zip_folder(at("in"), "hall", noon, at("two.zip")));
  EXPECT_EQ(text_of_file("one.zip"), text_of_file("two.zip"));
}

TEST_F(Package, CancelledWorkLeavesNothing) {
  EXPECT_FALSE(zip_folder(at("in"), "hall", noon, at("out.zip"), [](double) { return false; }));
  EXPECT_FALSE(fs::exists(root_ / "out.zip"));
}

TEST_F(Package, EntriesThatWouldLieElsewhereAreRefused) {
  for (const char* name : {"../evil.txt", "hall/../../evil.txt", "/etc/evil.txt", "hall\\evil.txt"}) {
    zip_with(name);
    fs::create_directories(root_ / "back");
    EXPECT_FALSE(unzip_into(at("odd.zip"), at("back"))) << name;
    EXPECT_FALSE(fs::exists(root_ / "evil.txt")) << name;
  }
}

TEST_F(Package, AZipThatUnpacksToTooMuchIsRefused) {
  ASSERT_TRUE(zip_folder(at("in"), "hall", noon, at("out.zip")));
  fs::create_directories(root_ / "back");
  EXPECT_FALSE(unzip_into(at("out.zip"), at("back"), {50'000, 10}));
  fs::remove_all(root_ / "back");
  fs::create_directories(root_ / "back");
  EXPECT_FALSE(unzip_into(at("out.zip"), at("back"), {1'000'000, 1}));
}

TEST_F(Package, WhatIsNoZipIsRefused) {
  put("no.zip", "PK\3\4 and nothing more");
  fs::create_directories(root_ / "back");
  EXPECT_FALSE(unzip_into(at("no.zip"), at("back")));
}

TEST_F(Package, FilesAreListedInOrderAndLinksAreRefused) {
  const auto files = files_below(at("in"));
  ASSERT_TRUE(files);
  EXPECT_EQ(*files, (std::vector<std::string>{"a.txt", "sub/b.txt"}));
  fs::create_symlink("/etc/passwd", root_ / "in/link");
  EXPECT_FALSE(files_below(at("in")));
}

TEST(Manifest, ComesBackFromItsText) {
  const std::vector<ManifestLine> lines{{"a b.txt", sha256("a")}, {"sub/c.txt", sha256("c")}};
  const auto found = parse_manifest(manifest_text(lines), "manifest.sha256");
  ASSERT_TRUE(found);
  ASSERT_EQ(found->size(), 2U);
  EXPECT_EQ((*found)[0].path, "a b.txt");
  EXPECT_EQ((*found)[1].hash, sha256("c"));
}

TEST(Manifest, LinesThatNameNoFileBelowAreRefusedWithTheirRow) {
  const std::string good = text_of(sha256("a")) + "  a.txt\n";
  for (const std::string& bad :
       {std::string("x"), text_of(sha256("a")) + " a.txt", text_of(sha256("a")) + "  ../a.txt",
        text_of(sha256("a")) + "  /a.txt", text_of(sha256("a")) + "  ", std::string(64, 'z') + "  a.txt"}) {
    const auto found = parse_manifest(good + bad, "manifest.sha256");
    ASSERT_FALSE(found) << bad;
    EXPECT_EQ(found.problem().at.row, 2U);
  }
}

}  // namespace
}  // namespace strandbook
