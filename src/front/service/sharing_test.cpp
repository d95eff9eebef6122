#include "front/service/sharing.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "edge/report/qr_code.hpp"
#include "front/service/rate_limit.hpp"

namespace strandbook {
namespace {

class Sharing : public ::testing::Test {
 protected:
  Sharing() { std::filesystem::remove_all(folder); }
  ~Sharing() override { std::filesystem::remove_all(folder); }

  Response type(const std::string& code) {
    Request request;
    request.method = "POST";
    request.body = "code=" + code;
    return pairing.answer(request);
  }
  std::string code_for(Role role) { return people.invite("K.", role)->code; }
  static Request with_cookie_of(const Response& joined) {
    Request request;
    for (const auto& [name, value] : joined.headers)
      if (name == "Set-Cookie") request.headers["cookie"] = value.substr(0, value.find(';'));
    return request;
  }

  std::string folder = ::testing::TempDir() + "strandbook-people";
  std::chrono::steady_clock::time_point now;
  Millis wall = 1'800'000'000'000;
  People people{folder + "/people.json", [this] { return wall; }};
  Pairing pairing{people, [this] { return now; }};
};

TEST_F(Sharing, ACodeLetsOneDeviceIn) {
  const std::string code = code_for(Role::crew);
  const Response joined = type(code);
  EXPECT_EQ(joined.status, 303);
  EXPECT_EQ(type(code).status, 403);
  EXPECT_FALSE(pairing.who(Request{}));
  const auto who = pairing.who(with_cookie_of(joined));
  ASSERT_TRUE(who);
  EXPECT_EQ(who->name, "K.");
  EXPECT_EQ(who->role, Role::crew);
}

TEST_F(Sharing, AnInvitationLastsFifteenMinutes) {
  const std::string early = code_for(Role::reads);
  wall += People::invitation_lasts - 1;
  EXPECT_EQ(type(early).status, 303);
  const std::string late = code_for(Role::reads);
  wall += People::invitation_lasts;
  EXPECT_EQ(type(late).status, 403);
}

TEST_F(Sharing, ASessionEndsWhenIdleAndAfterAMonthAnyway) {
  const Request request = with_cookie_of(type(code_for(Role::crew)));
  wall += People::idle_session_lasts - 1;
  EXPECT_TRUE(pairing.who(request));  // and was seen now
  wall += People::idle_session_lasts - 1;
  EXPECT_TRUE(pairing.who(request));
  wall += People::idle_session_lasts;
  EXPECT_FALSE(pairing.who(request));
  const Request busy = with_cookie_of(type(code_for(Role::crew)));
  for (Millis passed = 0; passed < People::session_lasts - 86'400'000; passed += 86'400'000) {
    wall += 86'400'000;
    ASSERT_TRUE(pairing.who(busy));
  }
  wall += 86'400'000;
  EXPECT_FALSE(pairing.who(busy));
}

TEST_F(Sharing, AnotherProgramMayLetInAndCutOff) {
  People other{folder + "/people.json", [this] { return wall; }};
  const Response joined = type(other.invite("N.", Role::lead)->code);
  EXPECT_EQ(joined.status, 303);
  const Request request = with_cookie_of(joined);
  const auto who = pairing.who(request);
  ASSERT_TRUE(who);
  EXPECT_TRUE(*other.cut_off(who->id));
  EXPECT_FALSE(*other.cut_off(who->id));
  EXPECT_FALSE(pairing.who(request));
}

TEST_F(Sharing, GuessingIsLimitedAndTheRightCodeWaitsToo) {
  const std::string code = code_for(Role::crew);
  for (int i = 0; i < 5; ++i) EXPECT_EQ(type("WRONG").status, 403);
  EXPECT_EQ(type(code).status, 429);
  now += std::chrono::minutes(11);
  EXPECT_EQ(type(code).status, 303);
}

TEST_F(Sharing, AnEmptyCookieKnowsNobody) {
  Request request;
  request.headers["cookie"] = "strandbook=";
  EXPECT_FALSE(pairing.who(request));
}

TEST(Roles, EachMayWhatThoseBeforeItMay) {
  EXPECT_LT(Role::reads, Role::crew);
  EXPECT_LT(Role::crew, Role::lead);
  for (const Role role : roles) EXPECT_EQ(parse_role(text_of(role)), role);
  EXPECT_FALSE(parse_role("boss"));
}

TEST(RateLimit, FillsAtASteadyRate) {
  std::chrono::steady_clock::time_point now;
  RateLimit limit(3, 2, [&] { return now; });
  for (int i = 0; i < 3; ++i) EXPECT_TRUE(limit.allows("a"));
  EXPECT_FALSE(limit.allows("a"));
  EXPECT_TRUE(limit.allows("b"));
  now += std::chrono::milliseconds(500);
  EXPECT_TRUE(limit.allows("a"));
  EXPECT_FALSE(limit.allows("a"));
}

// SOURCE: ISO/IEC 18004, 6.3.3: finder patterns of 7 by 7 modules stand in three corners.
TEST(QrCode, HasItsFinderPatterns) {
  const std::vector<std::string> rows = qr_rows("https://192.168.1.5:8270/pair?code=ABCD-EFGH");
  ASSERT_GE(rows.size(), 21U);
  const std::size_t far = rows.size() - 7;
  for (const auto& [y, x] : {std::pair<std::size_t, std::size_t>{0, 0}, {0, far}, {far, 0}}) {
    EXPECT_EQ(rows[y].substr(x, 7), "1111111");
    EXPECT_EQ(rows[y + 1].substr(x, 7), "1000001");
    EXPECT_EQ(rows[y + 3].substr(x, 7), "1011101");
  }
  EXPECT_TRUE(qr_rows(std::string(10000, 'x')).empty());
}

}  // namespace
}  // namespace strandbook
