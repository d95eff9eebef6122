#include "front/service/spoken.hpp"

#include <gtest/gtest.h>

#include "workflow/spoken_json.hpp"

namespace strandbook {
namespace {

std::string german_of(std::string_view json) { return spoken_json(json, german_catalogue()); }

TEST(Spoken, SentencesForAPersonAreTranslatedAndNothingElse) {
  EXPECT_EQ(german_of(R"({"advice":"Nothing was written.","file":"Nothing was written.","state":"good"})"),
            R"({"advice":"Nichts wurde geschrieben.","file":"Nothing was written.","state":"good"})");
}

TEST(Spoken, ListsOfSentences) {
  EXPECT_EQ(german_of(R"({"notes":["no rule","Own"],"fields":["no rule"]})"),
            R"({"notes":["keine Regel","Own"],"fields":["no rule"]})");
}

TEST(Spoken, WordsThatScreensLookUpStay) {
  EXPECT_EQ(german_of(R"({"working":[{"what":"length","note":"no rule"}],"rows":[{"what":"length"}]})"),
            R"({"working":[{"what":"length","note":"keine Regel"}],"rows":[{"what":"Länge"}]})");
}

TEST(Spoken, WhatAPersonSaidStays) {
  EXPECT_EQ(
      german_of(R"({"history":[{"reason":"no light","summary":"no light","values":{"note":"no light"}}]})"),
      R"({"history":[{"reason":"no light","summary":"kein Licht","values":{"note":"no light"}}]})");
}

TEST(Spoken, QuotesAndBackslashesSurvive) {
  EXPECT_EQ(german_of(R"({"found":"job \"A\\B\"","a\"b":"no rule"})"),
            R"({"found":"Auftrag „A\\B“","a\"b":"no rule"})");
  EXPECT_EQ(german_of(R"({"value":"0.75","unit":"months"})"), R"({"value":"0,75","unit":"Monate"})");
}

TEST(Spoken, TheFirstLanguageAskedForDecides) {
  Request request;
  const std::pair<const char*, bool> wishes[] = {{"de", true},    {"de-CH, en;q=0.5", true},
                                                 {"DE-at", true}, {"en, de", false},
                                                 {"den", false},  {"", false}};
  for (const auto& [wish, german] : wishes) {
    request.headers["accept-language"] = wish;
    EXPECT_EQ(wants_german(request), german) << wish;
  }
}

TEST(Spoken, SavedFilesStayAsTheyAre) {
  Request request;
  request.headers["accept-language"] = "de";
  Response response;
  response.body = std::make_shared<const std::string>(R"({"note":"no rule"})");
  Response saved = response;
  saved.headers.emplace_back("Content-Disposition", "attachment");
  speak(request, response);
  speak(request, saved);
  EXPECT_EQ(*response.body, R"({"note":"keine Regel"})");
  EXPECT_EQ(*saved.body, R"({"note":"no rule"})");
}

}  // namespace
}  // namespace strandbook
