#include "front/service/sharing.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

class Sharing : public ::testing::Test {
 protected:
  Response type(const std::string& code) {
    Request request;
    request.method = "POST";
    request.body = "code=" + code;
    return pairing.answer(request);
  }
  std::vector<std::string> shown;
  std::chrono::steady_clock::time_point now;
  Pairing pairing{[this](const std::string& code) { shown.push_back(code); }, [this] { return now; }};
};

TEST_F(Sharing, ACodeLetsOneDeviceIn) {
  const Response joined = type(shown[0]);
  EXPECT_EQ(joined.status, 303);
  ASSERT_EQ(shown.size(), 2U);
  EXPECT_NE(shown[0], shown[1]);
  EXPECT_EQ(type(shown[0]).status, 403);
  Request request;
  EXPECT_FALSE(pairing.knows(request));
  for (const auto& [name, value] : joined.headers)
    if (name == "Set-Cookie") request.headers["cookie"] = value.substr(0, value.find(';'));
  EXPECT_TRUE(pairing.knows(request));
}

TEST_F(Sharing, GuessingIsLimitedAndTheRightCodeWaitsToo) {
  for (int i = 0; i < 5; ++i) EXPECT_EQ(type("WRONG").status, 403);
  EXPECT_EQ(type(shown[0]).status, 429);
  now += std::chrono::minutes(11);
  EXPECT_EQ(type(shown[0]).status, 303);
}

TEST_F(Sharing, AnEmptyCookieKnowsNobody) {
  Request request;
  request.headers["cookie"] = "strandbook=";
  EXPECT_FALSE(pairing.knows(request));
}

}  // namespace
}  // namespace strandbook
