#include "front/service/http_text.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

Request of(std::string_view target) {
  Request request;
  take_target(request, target);
  return request;
}

TEST(HttpText, TargetsAreTakenApartBeforeTheyAreDecoded) {
  const Request request = of("/api/v1/jobs/a%2Fb/strand?link=L%20A&strand=1+2&empty");
  EXPECT_EQ(request.segments, (std::vector<std::string>{"api", "v1", "jobs", "a/b", "strand"}));
  EXPECT_EQ(request.query.at("link"), "L A");
  EXPECT_EQ(request.query.at("strand"), "1 2");
  EXPECT_EQ(request.query.at("empty"), "");
}

TEST(HttpText, WhatCannotBeDecodedHasNoSegments) {
  for (const char* target : {"/a%", "/a%2", "/%zz", "/a%00b", "*", "", "http"})
    EXPECT_TRUE(of(target).segments.empty()) << target;
}

TEST(HttpText, CookiesByTheirWholeName) {
  Request request;
  request.headers["cookie"] = "xstrandbook=1; strandbook=abc; other=2";
  EXPECT_EQ(cookie_of(request, "strandbook"), "abc");
  EXPECT_EQ(cookie_of(request, "book"), "");
}

TEST(HttpText, OnlyLargeAnswersArePackedAndOnlyWhereWanted) {
  Request request;
  Response large{200, "application/json", std::make_shared<const std::string>(100000, 'x')};
  compress(request, large);
  EXPECT_EQ(large.body->size(), 100000U);
  request.headers["accept-encoding"] = "br, gzip";
  Response small{200, "application/json", std::make_shared<const std::string>("{}")};
  compress(request, small);
  EXPECT_EQ(*small.body, "{}");
  compress(request, large);
  EXPECT_LT(large.body->size(), 1000U);
  request.headers["accept-encoding"] = "gzip;q=0";
  EXPECT_FALSE(accepts_gzip(request));
}

TEST(HttpText, WhatIsNoUtf8GoesBackAsAReplacement) {
  EXPECT_EQ(with_valid_utf8("a\xC8\x9C\xCB\xD1 z"), "a\xC8\x9C\xEF\xBF\xBD\xEF\xBF\xBD z");
  Request request;
  take_target(request, "/a/b?c=%C8%30");
  EXPECT_EQ(request.query["c"],
            "\xEF\xBF\xBD"
            "0");
  take_target(request, "/a/%FF");
  EXPECT_TRUE(request.segments.empty());
}

}  // namespace
}  // namespace strandbook
