#include "domain/problem/problem.hpp"

#include <fmt/format.h>

namespace strandbook {
namespace {

void append(std::string& text, const char* between, const std::string& part) {
  if (part.empty()) return;
  if (!text.empty()) text += between;
  text += part;
}

}  // namespace

std::string column_letters(std::size_t column) {
  std::string text;
  for (; column != 0; column = (column - 1) / 26)
    text.insert(text.begin(), static_cast<char>('A' + (column - 1) % 26));
  return text;
}

std::string describe(const Place& at) {
  std::string text = at.file;
  if (!at.sheet.empty()) append(text, ", ", "sheet " + at.sheet);
  if (at.row != 0) append(text, ", ", fmt::format("row {}", at.row));
  if (!at.column.empty()) append(text, ", ", "column " + at.column);
  return text.empty() ? "input" : text;
}

std::string describe(const Problem& problem) {
  std::string text = describe(problem.at) + ":";
  if (!problem.found.empty()) text += fmt::format(" found {};", problem.found);
  if (!problem.wanted.empty()) text += fmt::format(" expected {};", problem.wanted);
  if (text.back() == ';') text.back() = '.';
  if (!problem.advice.empty()) text += " " + problem.advice;
  return text;
}

}  // namespace strandbook
