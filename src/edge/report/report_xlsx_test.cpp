#include <gtest/gtest.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <thread>

#include "edge/report/report.hpp"
#include "edge/report/sample_job.hpp"

namespace strandbook {
namespace {

namespace files = std::filesystem;

class ReportXlsx : public testing::Test {
 protected:
  ReportXlsx() : folder_(testing::TempDir() + "workbook-" + std::to_string(getpid())) {
    files::create_directories(folder_);
  }
  ~ReportXlsx() override {
    std::error_code ignored;
    files::remove_all(folder_, ignored);
  }
  std::string path(const std::string& name) const { return folder_ + "/" + name; }
  std::string written(const sample::Job& job, const std::string& name) const {
    const auto result = write_report_xlsx(job.judged, sample::options(job), path(name));
    EXPECT_TRUE(result) << (result ? "" : describe(result.problem()));
    return path(name);
  }
  static std::string part(const std::string& file, const std::string& name) {
    return sample::output_of("unzip -p " + file + " " + name);
  }
  std::string folder_;
};

// SOURCE: LibreOffice Calc works the formulas out anew; the script compares the printed digits.
TEST_F(ReportXlsx, AnOfficeSuiteComesToTheSameDigits) {
  if (sample::output_of("which soffice").empty()) GTEST_SKIP() << "no office suite on this machine";
  const sample::Job job = sample::campus();
  const std::string said = sample::output_of("python3 " STRANDBOOK_ROOT "/tests/check_xlsx_recalc.py " +
                                             written(job, "campus.xlsx") + " 2>&1");
  EXPECT_NE(said.find("110 tests"), std::string::npos) << said;
  EXPECT_NE(said.find(" 0 differences"), std::string::npos) << said;
}

TEST_F(ReportXlsx, OutcomesAreLiveFormulasWithTheirValues) {
  const sample::Job job = sample::campus();
  const std::string tests = part(written(job, "live.xlsx"), "xl/worksheets/sheet2.xml");
  EXPECT_NE(tests.find("<f>AA2-M2</f>"), std::string::npos);
  EXPECT_NE(tests.find("NORMSDIST"), std::string::npos);
  EXPECT_NE(tests.find("<v>conditional fail</v>"), std::string::npos);
  EXPECT_NE(part(path("live.xlsx"), "xl/workbook.xml").find("guard_band"), std::string::npos);
}

TEST_F(ReportXlsx, NamesStayTextsAndNeverBecomeFormulas) {
  sample::Builder build;
  build.settings.plan.method = ReferenceMethod::one_cord;
  build.strand("=HYPERLINK(\"x\")", "007", FibreCategory::om3, 10);
  build.loss("=HYPERLINK(\"x\")", "007", 850, 0.3);
  const sample::Job job = build.judged("names");
  const std::string tests = part(written(job, "names.xlsx"), "xl/worksheets/sheet2.xml");
  EXPECT_EQ(tests.find("<f>HYPERLINK"), std::string::npos);
  EXPECT_NE(tests.find("=HYPERLINK"), std::string::npos);
  EXPECT_NE(tests.find("<t>007</t>"), std::string::npos);
}

TEST_F(ReportXlsx, SameJobGivesSameBytesAtAnyTime) {
  const std::string first = sample::bytes_of(written(sample::campus(), "one.xlsx"));
  std::this_thread::sleep_for(std::chrono::milliseconds(2100));  // a zip's clock ticks every two seconds
  EXPECT_EQ(first, sample::bytes_of(written(sample::campus(), "two.xlsx")));
}

TEST_F(ReportXlsx, NothingDueIsAWorkbookToo) {
  const std::string file = written(sample::nothing_due(), "empty.xlsx");
  EXPECT_NE(part(file, "xl/worksheets/sheet1.xml").find("No test was due"), std::string::npos);
}

TEST_F(ReportXlsx, AFolderThatIsNotThereLeavesNothingBehind) {
  const sample::Job job = sample::nothing_due();
  EXPECT_FALSE(write_report_xlsx(job.judged, {}, path("absent/report.xlsx")));
  EXPECT_TRUE(files::is_empty(folder_));
}

}  // namespace
}  // namespace strandbook
