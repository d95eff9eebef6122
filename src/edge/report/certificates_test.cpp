#include "edge/report/certificates.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include "edge/report/qr_code.hpp"
#include "edge/report/sample_job.hpp"

namespace strandbook {
namespace {

std::string certificate_path(const char* name) {
  return testing::TempDir() + std::to_string(getpid()) + "-" + name;
}

TEST(Certificates, ACodeHoldsTheNameOrAnAddressWithIt) {
  EXPECT_EQ(code_text("", "A B/1"), "A B/1");
  // SOURCE: RFC 3986, 2.1 and 2.3.
  EXPECT_EQ(code_text("https://site.example/", "A B/1-é~"), "https://site.example/A%20B%2F1-%C3%A9~");
}

TEST(Certificates, APageForEachLinkWithItsTests) {
  const sample::Job job = sample::campus();
  const std::string path = certificate_path("links.pdf");
  ASSERT_TRUE(write_certificates_pdf(job.judged, sample::options(job), {}, path));
  const std::string text = sample::output_of("pdftotext -layout " + path + " -");
  for (const char* wanted : {"QH-MILL-01", "own:harbour", "conditional fail", "R-1", "Tested by"})
    EXPECT_NE(text.find(wanted), std::string::npos) << wanted;
  EXPECT_EQ(sample::bytes_of(path), [&] {
    const std::string again = certificate_path("again.pdf");
    EXPECT_TRUE(write_certificates_pdf(job.judged, sample::options(job), {}, again));
    return sample::bytes_of(again);
  }());
}

TEST(Certificates, AJobWithoutALinkIsRefused) {
  const sample::Job job = sample::nothing_due();
  JudgedJob none;
  EXPECT_FALSE(write_certificates_pdf(none, {}, {}, certificate_path("none.pdf")));
  EXPECT_FALSE(write_labels_pdf(none, {}, {}, {}, certificate_path("none.pdf")));
}

TEST(Labels, SheetsThatHoldNoReadableLabelAreRefused) {
  const sample::Job job = sample::campus();
  LabelSheet sheet;
  sheet.columns = 12;
  const auto done = write_labels_pdf(job.judged, {}, sheet, {}, certificate_path("small.pdf"));
  ASSERT_FALSE(done);
  EXPECT_NE(done.problem().wanted.find("18 by 8 mm"), std::string::npos);
}

TEST(CoverPicture, WhatIsNoWholePictureIsRefused) {
  EXPECT_FALSE(cover_picture("", "none"));
  EXPECT_FALSE(cover_picture("GIF89a", "sign.gif"));
  EXPECT_FALSE(cover_picture("\x89PNG\r\n\x1a\n", "cut.png"));
  EXPECT_FALSE(cover_picture("\xFF\xD8\xFF", "cut.jpg"));
  EXPECT_FALSE(cover_picture(std::string(5'000'000, 'x'), "large"));
}

}  // namespace
}  // namespace strandbook
