#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>

#include "edge/report/report.hpp"
#include "edge/report/sample_job.hpp"

namespace strandbook {
namespace {

namespace files = std::filesystem;

class ReportPdf : public testing::Test {
 protected:
  ReportPdf() : folder_(testing::TempDir() + "report-" + std::to_string(getpid())) {
    files::create_directories(folder_);
  }
  ~ReportPdf() override {
    std::error_code ignored;
    files::remove_all(folder_, ignored);
  }
  std::string path(const std::string& name) const { return folder_ + "/" + name; }
  std::string written(const sample::Job& job, const std::string& name, const ReportOptions& options) const {
    const auto result = write_report_pdf(job.judged, options, path(name));
    EXPECT_TRUE(result) << (result ? "" : describe(result.problem()));
    return path(name);
  }
  std::string written(const sample::Job& job, const std::string& name) const {
    return written(job, name, sample::options(job));
  }
  static std::string text_of_pdf(const std::string& file) {
    return sample::output_of("pdftotext -layout " + file + " -");
  }
  static std::string info_of(const std::string& file, const std::string& key) {
    const std::string info = sample::output_of("pdfinfo " + file);
    const std::size_t at = info.find("\n" + key + ":");
    const std::size_t start = info.find_first_not_of(' ', at + key.size() + 2);
    return at == std::string::npos ? "" : info.substr(start, info.find('\n', start) - start);
  }
  std::string folder_;
};

TEST_F(ReportPdf, HoldsWhatAnOwnerAsksFor) {
  const sample::Job job = sample::campus();
  const std::string text = text_of_pdf(written(job, "campus.pdf"));
  if (const char* keep = std::getenv("STRANDBOOK_KEEP_REPORT"))
    files::copy_file(path("campus.pdf"), keep, files::copy_options::overwrite_existing);
  for (const char* wanted : {"Backbone acceptance",
                             "Harbour trust, estates office",
                             "Crew of the north yard",
                             "own:harbour",
                             "Scope and rule",
                             "from memory",
                             "guard band",
                             "R-1",
                             "QH-MILL-01",
                             "conditional pass",
                             "conditional fail",
                             "not tested",
                             "invalid",
                             "Next step",
                             "1,2OO",
                             "QH-MILL-O1",
                             "day-first, proved by row 3",
                             "Invisible light",
                             "sharps",
                             "Accepted for the owner",
                             "orange, tracer",
                             "end connections",
                             "A\u2192B"})
    EXPECT_NE(text.find(wanted), std::string::npos) << wanted;
}

TEST_F(ReportPdf, KeepsTextOfEveryScript) {
  const sample::Job job = sample::campus();
  const std::string text = text_of_pdf(written(job, "scripts.pdf"));
  EXPECT_NE(text.find("Κτίριο-Α"), std::string::npos);
  EXPECT_NE(text.find("Щит-03"), std::string::npos);
  EXPECT_NE(text.find("An identifier that"), std::string::npos);
  // CJK and Arabic depend on fonts of the machine; where fontconfig has one, the text must come back.
  if (!sample::output_of("fc-list :lang=zh family").empty()) {
    EXPECT_NE(text.find("機房甲"), std::string::npos);
  }
}

TEST_F(ReportPdf, IsSoundAndItsFontsAreEmbedded) {
  const sample::Job job = sample::campus();
  const std::string file = written(job, "sound.pdf");
  EXPECT_NE(sample::output_of("qpdf --check " + file + " 2>&1").find("No syntax or stream encoding errors"),
            std::string::npos);
  const std::string fonts = sample::output_of("pdffonts " + file + " | tail -n +3");
  EXPECT_FALSE(fonts.empty());
  for (std::size_t at = 0; at < fonts.size();) {
    const std::size_t end = fonts.find('\n', at);
    const std::string row = fonts.substr(at, end - at);
    EXPECT_NE(row.find(" yes yes yes "), std::string::npos) << row;  // embedded, subset, mapped to Unicode
    at = end == std::string::npos ? fonts.size() : end + 1;
  }
}

TEST_F(ReportPdf, NumbersItsPagesAndNamesItself) {
  const sample::Job job = sample::campus();
  const std::string file = written(job, "pages.pdf");
  const std::string pages = info_of(file, "Pages");
  EXPECT_NE(text_of_pdf(file).find(pages + " of " + pages), std::string::npos);
  EXPECT_EQ(info_of(file, "Author"), "Crew of the north yard");
  EXPECT_NE(sample::output_of("pdfinfo -isodates " + file).find("2026-04-05T16:00:00"), std::string::npos);
}

TEST_F(ReportPdf, LinksLeadFromSummaryToLinkAndBack) {
  const sample::Job job = sample::campus();
  const std::string file = written(job, "links.pdf");
  const std::string json = sample::output_of("qpdf --json=1 --json-key=objects " + file);
  std::size_t links = 0;
  for (std::size_t at = json.find("\"/Link\""); at != std::string::npos; at = json.find("\"/Link\"", at + 1))
    ++links;
  // Ten of the contents, one to and one from each link, and those of the exceptions.
  EXPECT_GE(links, 10 + 2 * 9u);
  EXPECT_NE(json.find("\"/XYZ\""), std::string::npos);
  EXPECT_NE(sample::output_of("qpdf --json=1 --json-key=outlines " + file).find("QH-MILL-01"),
            std::string::npos);
}

TEST_F(ReportPdf, SameJobGivesSameBytes) {
  const sample::Job job = sample::campus();
  const std::string first = sample::bytes_of(written(job, "one.pdf"));
  const std::string second = sample::bytes_of(written(job, "two.pdf"));
  EXPECT_EQ(first, second);
  EXPECT_EQ(first, sample::bytes_of(written(sample::campus(), "three.pdf")));
}

TEST_F(ReportPdf, NothingDueIsSaidSo) {
  const sample::Job job = sample::nothing_due();
  const std::string text = text_of_pdf(written(job, "empty.pdf", {}));
  EXPECT_NE(text.find("No test was due"), std::string::npos);
}

TEST_F(ReportPdf, OneStrandOnLetterPaperInFeet) {
  const sample::Job job = sample::large(1, 1);
  ReportOptions options = sample::options(job);
  options.paper = Paper::letter;
  options.length = LengthUnit::feet;
  const std::string file = written(job, "one-strand.pdf", options);
  EXPECT_NE(info_of(file, "Page size").find("612 x 792"), std::string::npos);
  EXPECT_NE(text_of_pdf(file).find("328.1 ft"), std::string::npos);  // 100 m / 0.3048
}

TEST_F(ReportPdf, TwoThousandStrandsFitSixtyTestsToAPage) {
  const sample::Job job = sample::large(2000, 24);
  const std::string file = written(job, "large.pdf");
  const std::string text = text_of_pdf(file);
  EXPECT_NE(text.find("BB-1083"), std::string::npos);
  EXPECT_LT(std::stoi(info_of(file, "Pages")), 2000 * 4 / 60 + 84 + 60);
}

TEST_F(ReportPdf, AFolderThatIsNotThereLeavesNothingBehind) {
  const sample::Job job = sample::nothing_due();
  const auto result = write_report_pdf(job.judged, {}, path("absent/report.pdf"));
  ASSERT_FALSE(result);
  EXPECT_NE(describe(result.problem()).find("absent/report.pdf"), std::string::npos);
  EXPECT_TRUE(files::is_empty(folder_));
}

TEST_F(ReportPdf, ATargetThatIsAFolderIsAProblem) {
  files::create_directories(path("taken.pdf/inside"));
  const sample::Job job = sample::nothing_due();
  EXPECT_FALSE(write_report_pdf(job.judged, {}, path("taken.pdf")));
  EXPECT_EQ(std::distance(files::directory_iterator(folder_), files::directory_iterator()), 1);
}

}  // namespace
}  // namespace strandbook
