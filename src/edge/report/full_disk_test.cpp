// A disk that fills up while a report is written, played by the limit on a process's file size.

#include <gtest/gtest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "edge/report/report.hpp"
#include "edge/report/sample_job.hpp"

namespace strandbook {
namespace {

namespace files = std::filesystem;

using Writer = Result<Done> (*)(const JudgedJob&, const ReportOptions&, const std::string&, const Progress&);

/// Writes in a child whose files may not grow beyond `bytes`; true where the writer reported a Problem.
bool fails_with_room_for(rlim_t bytes, Writer write, const sample::Job& job, const std::string& path) {
  const pid_t child = fork();
  if (child == 0) {
    signal(SIGXFSZ, SIG_IGN);
    const rlimit room{bytes, bytes};
    setrlimit(RLIMIT_FSIZE, &room);
    _exit(write(job.judged, sample::options(job), path, {}) ? 0 : 1);
  }
  int status = 0;
  waitpid(child, &status, 0);
  return WIFEXITED(status) && WEXITSTATUS(status) == 1;
}

void keeps_what_was_there(Writer write, const std::string& name) {
  const std::string folder = testing::TempDir() + "full-" + std::to_string(getpid()) + name;
  files::create_directories(folder);
  const std::string path = folder + "/" + name;
  std::ofstream(path) << "what was there before";
  const sample::Job job = sample::large(600, 24);
  for (const rlim_t bytes : {rlim_t{0}, rlim_t{1000}, rlim_t{20000}, rlim_t{60000}}) {
    EXPECT_TRUE(fails_with_room_for(bytes, write, job, path)) << bytes;
    EXPECT_TRUE(sample::bytes_of(path) == "what was there before") << bytes;
    EXPECT_EQ(std::distance(files::directory_iterator(folder), files::directory_iterator()), 1);
  }
  files::remove_all(folder);
}

TEST(FullDisk, PdfIsAProblemAndTheOldReportStays) { keeps_what_was_there(write_report_pdf, "report.pdf"); }

TEST(FullDisk, WorkbookIsAProblemAndTheOldOneStays) {
  keeps_what_was_there(write_report_xlsx, "report.xlsx");
}

}  // namespace
}  // namespace strandbook
