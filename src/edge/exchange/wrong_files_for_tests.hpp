#pragma once
// What the tests of rule files share: a file with one piece replaced, and a Problem that names its line.

#include <gtest/gtest.h>

#include <ostream>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// One way in which a good file is made wrong.
struct WrongCase {
  std::string_view piece;
  std::string_view other;
  std::size_t line;        ///< that the Problem must name
  std::string_view words;  ///< that it must say
};

inline std::ostream& operator<<(std::ostream& out, const WrongCase& wrong) { return out << wrong.other; }

/// The text with its first such piece replaced; the piece must be in it.
inline std::string with_piece(std::string_view good, std::string_view piece, std::string_view other) {
  std::string text(good);
  const std::size_t at = text.find(piece);
  EXPECT_NE(at, std::string::npos) << piece;
  return at == std::string::npos ? text : text.replace(at, piece.size(), other);
}

/// `read` makes a Result of text and name; it must be a Problem that names the line and says the words.
template <class Read>
void expect_line_named(std::string_view good, const WrongCase& wrong, Read read) {
  const auto got = read(with_piece(good, wrong.piece, wrong.other), "yard.json");
  ASSERT_FALSE(got) << wrong.piece << " -> " << wrong.other;
  const std::string text = describe(got.problem());
  EXPECT_EQ(got.problem().at.row, wrong.line) << wrong.other << ": " << text;
  EXPECT_EQ(got.problem().at.file, "yard.json");
  EXPECT_NE(text.find(wrong.words), std::string::npos) << text;
  EXPECT_FALSE(got.problem().wanted.empty()) << text;
}

}  // namespace strandbook
