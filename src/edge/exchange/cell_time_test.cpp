#include "edge/exchange/cell_time.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace strandbook {
namespace {

std::string day_first(std::string_view text) {
  const auto written = read_moment(text);
  return written ? iso_text(written->day_first) : "none";
}

TEST(CellTime, ReadsTheWaysPeopleWrite) {
  const std::pair<std::string_view, std::string_view> rows[] = {
      {"2026-05-06T07:30:00-05:00", "2026-05-06T12:30:00Z"},
      {"2026-05-06T23:30+02:00", "2026-05-06T21:30:00Z"},
      {"2026-01-01T00:15:00+0100", "2025-12-31T23:15:00Z"},
      {"2026-05-06 07:30:10Z", "2026-05-06T07:30:10Z"},
      {"2026-05-06 07:30", "2026-05-06T07:30:00"},
      {"2026-05-06T07:30:10.250", "2026-05-06T07:30:10"},
      {"2026-05-06", "2026-05-06"},
      {"2026/5/6", "2026-05-06"},
      {"06.05.2026", "2026-05-06"},
      {"6.5.26 7:30", "2026-05-06T07:30:00"},
      {"25/05/2026, 7:30 pm", "2026-05-25T19:30:00"},
      {"05/25/2026", "2026-05-25"},
      {"6 May 2026", "2026-05-06"},
      {"6. Mai 2026", "2026-05-06"},
      {"6-Oct-26", "2026-10-06"},
      {"May 6, 2026", "2026-05-06"},
      {"07:30", "07:30:00"},
      {"7:30:05", "07:30:05"},
      {"12:05 am", "00:05:00"},
      {"12:05 p.m.", "12:05:00"},
      {"7:30 Uhr", "07:30:00"},
      {"29.02.2028", "2028-02-29"},
  };
  for (const auto& [text, wanted] : rows) EXPECT_EQ(day_first(text), wanted) << text;
}

TEST(CellTime, RefusesWhatIsNoMoment) {
  for (const std::string_view text :
       {"", "2026", "2026-05", "29.02.2026", "31/31/2026", "25:00", "7:3", "7:30 xm", "13:00 pm",
        "2026-05-06T", "2026-05-06T07:30+25:00", "1/2/3", "tomorrow", "46000", "1850-01-01", "2026-05-06 x",
        "08:12Z", "05-06/2026", "9:61"})
    EXPECT_EQ(day_first(text), "none") << text;
}

TEST(CellTime, SaysWhatADateProves) {
  EXPECT_EQ(read_moment("13/04/2026")->pattern, DatePattern::day_first);
  EXPECT_EQ(read_moment("04/13/2026")->pattern, DatePattern::month_first);
  EXPECT_EQ(read_moment("03/04/2026")->pattern, DatePattern::either_order);
  EXPECT_EQ(read_moment("04-04-2026")->pattern, DatePattern::fixed);
  EXPECT_EQ(iso_text(read_moment("03/04/2026")->month_first), "2026-03-04");
}

RC_GTEST_PROP(CellTimeProperty, IsoTextComesBack, ()) {
  const Instant at{*rc::gen::inRange<std::int64_t>(400'000'000, 4'000'000'000), true, true,
                   *rc::gen::arbitrary<bool>()};
  const auto written = read_moment(iso_text(at));
  RC_ASSERT(written.has_value());
  RC_ASSERT(written->day_first == at);
  RC_ASSERT(written->month_first == at);
}

}  // namespace
}  // namespace strandbook
