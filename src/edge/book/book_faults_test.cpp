// What a book goes through on a jobsite: killed programs, full disks, two programs at once, flipped bytes.

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <fstream>
#include <random>
#include <thread>

#include "edge/book/book_test_ground.hpp"
#include "edge/book/verify.hpp"

namespace strandbook {
namespace {

/// Runs in a process of its own; its result is the exit status.
template <class Work>
pid_t in_child(const Work& work) {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(work());
  return child;
}

int status_of(pid_t child) {
  int status = 0;
  EXPECT_EQ(::waitpid(child, &status, 0), child);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

Result<Appended> append_note(SqliteStore& store, const Device& device, std::size_t number) {
  const FactDraft draft = note_draft("note " + std::to_string(number));
  return append(store, device, std::span(&draft, 1));
}

/// Appends until it is killed; says each number on the pipe once it is in the book.
int append_and_tell(const std::string& path, std::size_t first, int pipe) {
  const auto store = SqliteStore::open(path, {system_surroundings()});
  if (!store) return 3;
  for (std::size_t number = first;; ++number) {
    if (!append_note(**store, test_device(), number)) return 4;
    if (::write(pipe, &number, sizeof number) != sizeof number) return 5;
  }
}

/// Kills the child after a while; the last number it told.
std::size_t last_told_before_kill(const std::string& path, std::size_t first,
                                  std::chrono::microseconds life) {
  std::array<int, 2> ends{};
  EXPECT_EQ(::pipe(ends.data()), 0);
  const pid_t child = in_child([&] {
    ::close(ends[0]);
    return append_and_tell(path, first, ends[1]);
  });
  ::close(ends[1]);
  std::size_t last = first;
  // The first acknowledgement starts the clock: before it there is nothing to lose.
  EXPECT_EQ(::read(ends[0], &last, sizeof last), static_cast<ssize_t>(sizeof last));
  std::this_thread::sleep_for(life);
  EXPECT_EQ(::kill(child, SIGKILL), 0);
  EXPECT_EQ(status_of(child), 128 + SIGKILL);
  for (std::size_t number = 0; ::read(ends[0], &number, sizeof number) == sizeof number;) last = number;
  ::close(ends[0]);
  return last;
}

TEST(BookFaults, AKilledProgramLosesNothingItAcknowledged) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  new_book(path).reset();
  std::mt19937 random(20260405);
  std::size_t next = 1;
  for (int round = 0; round < 50; ++round) {
    const std::size_t told = last_told_before_kill(path, next, std::chrono::microseconds(random() % 12000));
    const auto store = reopened(path);
    ASSERT_NE(store, nullptr);
    const std::size_t kept = store->counts()->facts;
    // One more may have been committed and not yet told.
    ASSERT_TRUE(kept == told || kept == told + 1)
        << "round " << round << ": told " << told << ", kept " << kept;
    const Verification verification = verify(*store);
    ASSERT_TRUE(verification.holds()) << describe(*verification.bad);
    next = kept + 1;
  }
  EXPECT_GT(next, 50U);
}

TEST(BookFaults, AKilledBatchLeavesNothing) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  new_book(path).reset();
  const pid_t child = in_child([&path]() -> int {
    const auto store = SqliteStore::open(path, {system_surroundings()});
    std::size_t given = 0;
    (void)(*store)->append(test_device(),
                           {{}, [&given](const Uuid&) -> Result<std::optional<FactDraft>> {
                              // Far enough that part of the batch stands in the log already.
                              if (++given == 1500) ::kill(::getpid(), SIGKILL);
                              return std::optional<FactDraft>{note_draft(std::string(20000, 'n'))};
                            }});
    return 0;
  });
  EXPECT_EQ(status_of(child), 128 + SIGKILL);
  const auto store = reopened(path);
  EXPECT_EQ(store->counts()->facts, 0U);
  EXPECT_TRUE(verify(*store).holds());
}

int append_many(const std::string& path, const Device& device, std::size_t number) {
  const auto store = SqliteStore::open(path, {system_surroundings(), std::chrono::seconds(60)});
  if (!store) return 3;
  for (std::size_t i = 0; i < number; ++i)
    if (!append_note(**store, device, i)) return 4;
  return 0;
}

TEST(BookFaults, TwoProgramsAtOnceBothSucceed) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  new_book(path).reset();
  const pid_t one = in_child([&] { return append_many(path, test_device(1), 150); });
  const pid_t two = in_child([&] { return append_many(path, test_device(2), 150); });
  const pid_t same = in_child([&] { return append_many(path, test_device(1), 150); });
  EXPECT_EQ(status_of(one), 0);
  EXPECT_EQ(status_of(two), 0);
  EXPECT_EQ(status_of(same), 0);
  const auto store = reopened(path);
  EXPECT_EQ(store->counts()->facts, 450U);
  const Verification verification = verify(*store);
  EXPECT_TRUE(verification.holds()) << describe(*verification.bad);
  EXPECT_EQ(verification.chains.size(), 2U);
}

TEST(BookFaults, TwoProgramsThatMakeADeviceAtOnceGetTheSameOne) {
  for (int round = 0; round < 10; ++round) {
    const TestFolder folder;
    const std::string path = folder.file("device");
    const auto make = [&path] {
      const Result<Device> device = load_or_create_device(path, system_surroundings());
      return device ? device->id.bytes[3] ^ static_cast<std::uint8_t>(device->key->public_key().back()) : 0;
    };
    const pid_t one = in_child(make);
    const pid_t two = in_child(make);
    const int first = status_of(one);
    EXPECT_EQ(first, status_of(two));
    EXPECT_EQ(folder.entries(), 2U) << "the device file and its key";
  }
}

/// A limit on the size of files stands in for a full disk: the write fails the same way, part of it done.
int append_until_full(const std::string& path) {
  std::signal(SIGXFSZ, SIG_IGN);
  const auto store = SqliteStore::open(path, {system_surroundings()});
  if (!store) return 3;
  const rlimit limit{300000, 300000};
  if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) return 4;
  std::vector<FactDraft> drafts(2000, note_draft(std::string(400, 'n')));
  const Result<Appended> refused = append(**store, test_device(), drafts);
  if (refused) return 5;
  if (refused.problem().found.find("no room") == std::string::npos) return 6;
  return append_note(**store, test_device(), 1) ? 0 : 7;
}

TEST(BookFaults, AFullDiskIsAProblemAndNothingIsHalfWritten) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(append_note(*new_book(path), test_device(), 0));
  EXPECT_EQ(status_of(in_child([&path] { return append_until_full(path); })), 0);
  const auto store = reopened(path);
  ASSERT_NE(store, nullptr);
  EXPECT_EQ(store->counts()->facts, 2U);
  EXPECT_TRUE(verify(*store).holds());
}

TEST(BookFaults, AFullDiskLeavesNoNewBook) {
  const TestFolder folder;
  const pid_t child = in_child([&folder] {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{20000, 20000};
    if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) return 4;
    const auto store = SqliteStore::create(folder.file("job.book"), {system_surroundings()});
    if (store) return 5;
    return store.problem().found.find("no room") == std::string::npos ? 6 : 0;
  });
  EXPECT_EQ(status_of(child), 0);
  EXPECT_EQ(folder.entries(), 0U);
}

/// Rights do not bind the superuser, so the child gives them up.
bool become_nobody() { return ::getuid() != 0 || (::setgid(65534) == 0 && ::setuid(65534) == 0); }

TEST(BookFaults, AReadOnlyFolderIsAProblem) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(append_note(*new_book(path), test_device(), 0));
  const std::filesystem::path in(folder.file("."));
  std::filesystem::permissions(path, std::filesystem::perms(0444));
  std::filesystem::permissions(in, std::filesystem::perms(0555));
  const pid_t child = in_child([&folder, &path] {
    if (!become_nobody()) return 3;
    const auto made = SqliteStore::create(folder.file("new.book"), {system_surroundings()});
    if (made || made.problem().advice.empty()) return 4;
    const auto opened = SqliteStore::open(path, {system_surroundings()});
    if (!opened) return opened.problem().found.find("may not be written") == std::string::npos ? 5 : 0;
    return append_note(**opened, test_device(), 1) ? 6 : 0;
  });
  EXPECT_EQ(status_of(child), 0);
  std::filesystem::permissions(in, std::filesystem::perms(0755));
  EXPECT_EQ(folder.entries(), 1U);
}

std::string bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

TEST(BookFaults, AFlippedByteInAFactIsNamed) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(
      append(*new_book(path), test_device(),
             std::vector<FactDraft>{note_draft("before"), note_draft("needle"), note_draft("after")}));
  const Uuid hurt = (*facts_of(*reopened(path), {}))[1].id;
  std::string bytes = bytes_of(path);
  const std::size_t at = bytes.find("needle");
  ASSERT_NE(at, std::string::npos);
  bytes[at] = 'N';
  std::ofstream(path, std::ios::binary) << bytes;
  const Verification verification = verify(*reopened(path));
  ASSERT_FALSE(verification.holds());
  EXPECT_EQ(verification.bad_fact, hurt);
  EXPECT_EQ(verification.facts, 1U);
  EXPECT_NE(verification.bad->found.find("not what was written"), std::string::npos);
}

TEST(BookFaults, AFlippedByteInAKeptFileIsNamed) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(
      new_book(path)->append(test_device(), batch_of(note_draft("n"), {{sha256("haystack"), "haystack"}})));
  std::string bytes = bytes_of(path);
  bytes[bytes.find("haystack")] = 'H';
  std::ofstream(path, std::ios::binary) << bytes;
  const Verification verification = verify(*reopened(path));
  ASSERT_FALSE(verification.holds());
  EXPECT_NE(verification.bad->found.find(text_of(sha256("haystack"))), std::string::npos);
}

/// A program that knows SQL takes the guards off first.
void tamper(const std::string& path, const std::string& sql) {
  const Result<SqliteConnection> connection =
      SqliteConnection::open(path, SqliteConnection::Mode::open_existing, std::chrono::milliseconds(100));
  ASSERT_HOLDS(connection);
  ASSERT_HOLDS(connection->run("DROP TRIGGER facts_stay; DROP TRIGGER facts_are_kept; " + sql));
}

TEST(BookFaults, EveryKindOfTamperingIsNamed) {
  const std::vector<std::pair<std::string, std::string>> cases = {
      {"UPDATE facts SET time_ms = time_ms - 1 WHERE sequence = 2", "not what was written"},
      {"UPDATE facts SET kind = 'sign-off' WHERE sequence = 2", "not what was written"},
      {"UPDATE facts SET subject = (SELECT row FROM subjects WHERE strand = '1') WHERE sequence = 2",
       "under another strand"},
      {"UPDATE facts SET target = zeroblob(16) WHERE sequence = 2", "under another strand"},
      {"UPDATE facts SET previous = zeroblob(32) WHERE sequence = 2", "does not follow"},
      {"UPDATE facts SET hash = zeroblob(32) WHERE sequence = 2", "not what was written"},
      {"DELETE FROM facts WHERE sequence = 2", "missing before it"},
      {"DELETE FROM facts WHERE sequence = 1", "missing before it"},
      {"UPDATE facts SET kind = 'verdict' WHERE sequence = 2", "unknown kind"},
  };
  for (const auto& [sql, why] : cases) {
    const TestFolder folder;
    const std::string path = folder.file("job.book");
    const FactDraft named{FactKind::note, R"({"link":"L","strand":"1","text":"x"})", {"L", "1"}, {}};
    ASSERT_HOLDS(append(*new_book(path), test_device(),
                        std::vector<FactDraft>{named, note_draft("two"), note_draft("three")}));
    ASSERT_TRUE(verify(*reopened(path)).holds());
    tamper(path, sql);
    const Verification verification = verify(*reopened(path));
    ASSERT_FALSE(verification.holds()) << sql;
    EXPECT_NE(verification.bad->found.find(why), std::string::npos)
        << sql << ": " << describe(*verification.bad);
  }
}

std::vector<std::string> bodies_of(const Store& store) {
  std::vector<std::string> all;
  const Result<Done> done = store.read(std::vector<FactQuery>(1), [&all](const Fact& fact) -> Result<Done> {
    all.push_back(fact.body);
    return Done{};
  });
  EXPECT_HOLDS(done);
  return all;
}

enum class Seen { noticed, as_before, something_else };

Seen look_at(const std::string& path, const std::vector<std::string>& before) {
  const auto store = SqliteStore::open(path, {system_surroundings(), std::chrono::milliseconds(50)});
  if (!store || !verify(**store).holds()) return Seen::noticed;
  return bodies_of(**store) == before ? Seen::as_before : Seen::something_else;
}

void write_hurt(const std::string& path, std::string bytes, std::size_t at, unsigned bit) {
  bytes[at] = static_cast<char>(static_cast<unsigned char>(bytes[at]) ^ (1U << bit));
  std::ofstream(path, std::ios::binary) << bytes;
  for (const char* end : {"-wal", "-shm"}) std::filesystem::remove(path + end);
}

/// Wherever a byte is hurt, the book says so or is as before; it never crashes and never says something else.
TEST(BookFaults, AByteHurtAnywhereIsNoticedOrHarmless) {
  const TestFolder folder;
  const std::string path = folder.file("job.book");
  ASSERT_HOLDS(append(*new_book(path), test_device(), std::vector<FactDraft>(600, note_draft("a note"))));
  const std::string whole = bytes_of(path);
  const std::vector<std::string> before = bodies_of(*reopened(path));
  std::mt19937 random(7);
  std::array<int, 3> seen{};
  for (int round = 0; round < 200; ++round) {
    write_hurt(path, whole, random() % whole.size(), random() % 8);
    ++seen[static_cast<std::size_t>(look_at(path, before))];
  }
  EXPECT_EQ(seen[static_cast<std::size_t>(Seen::something_else)], 0);
  EXPECT_GT(seen[static_cast<std::size_t>(Seen::noticed)], 50);
}

}  // namespace
}  // namespace strandbook
