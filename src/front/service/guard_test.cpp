#include "front/service/guard.hpp"

#include <gtest/gtest.h>

namespace strandbook {
namespace {

Request from(std::string method, std::string host, std::string origin = {}, std::string site = {}) {
  Request request;
  request.method = std::move(method);
  request.headers = {{"host", std::move(host)}};
  if (!origin.empty()) request.headers["origin"] = std::move(origin);
  if (!site.empty()) request.headers["sec-fetch-site"] = std::move(site);
  request.local_address = "192.168.7.20";
  return request;
}

TEST(Guard, HostMustBeOurs) {
  for (const char* host : {"localhost", "localhost:8270", "127.0.0.1:8270", "[::1]:8270", "[::1]"})
    EXPECT_FALSE(why_refused(from("GET", host), Reach::this_computer)) << host;
  for (const char* host : {"", "evil.example", "localhost.evil.example:8270", "127.0.0.1.evil.example", "[",
                           "192.168.7.20:8270"})
    EXPECT_TRUE(why_refused(from("GET", host), Reach::this_computer)) << host;
  EXPECT_FALSE(why_refused(from("GET", "192.168.7.20:8270"), Reach::network));
  EXPECT_TRUE(why_refused(from("GET", "192.168.7.21:8270"), Reach::network));
}

TEST(Guard, OnlyOurOwnPagesChangeAnything) {
  const std::string host = "127.0.0.1:8270";
  EXPECT_FALSE(why_refused(from("POST", host), Reach::this_computer));  // a program, not a page
  EXPECT_FALSE(why_refused(from("POST", host, "http://127.0.0.1:8270", "same-origin"), Reach::this_computer));
  EXPECT_TRUE(why_refused(from("POST", host, "http://127.0.0.1:9000"), Reach::this_computer));
  EXPECT_TRUE(why_refused(from("DELETE", host, "null"), Reach::this_computer));
  EXPECT_TRUE(why_refused(from("PUT", host, "http://evil.example"), Reach::this_computer));
  EXPECT_TRUE(why_refused(from("POST", host, {}, "cross-site"), Reach::this_computer));
  EXPECT_FALSE(why_refused(from("GET", host, "http://evil.example", "cross-site"), Reach::this_computer));
}

}  // namespace
}  // namespace strandbook
