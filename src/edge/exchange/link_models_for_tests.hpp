#pragma once
// For tests of the link model: the shipped inputs, and a row in one line.

#include <gtest/gtest.h>

#include <string>

#include "edge/exchange/link_model_file.hpp"

namespace strandbook::shipped_models {

inline const LinkModelTable& all_link_models() {
  static const LinkModelTable table = [] {
    auto read = read_link_models(STRANDBOOK_ROOT "/rules");
    if (read) return *read;
    ADD_FAILURE() << describe(read.problem());
    return LinkModelTable{};
  }();
  return table;
}

inline const LinkModelRow& row(std::string_view application, std::string_view fibre) {
  const auto found = find_link_model_row(all_link_models(), application, fibre);
  static const LinkModelRow none;
  EXPECT_TRUE(found) << describe(found.problem());
  return found ? **found : none;
}

inline std::string refusal(std::string_view application, std::string_view fibre) {
  const auto found = find_link_model_row(all_link_models(), application, fibre);
  EXPECT_FALSE(found) << application << " over " << fibre;
  return found ? "" : describe(found.problem());
}

}  // namespace strandbook::shipped_models
