#pragma once
// R as another's code on our machine: tests give it the same numbers.

#include <array>
#include <cstdio>
#include <memory>
#include <sstream>
#include <string>
#include <vector>

namespace strandbook {

/// Numbers that an R script prints.
inline std::vector<double> r_says(const std::string& script) {
  const std::string command = "Rscript --vanilla -e '" + script + "'";
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), &pclose);
  std::string text;
  std::array<char, 4096> part{};
  while (std::fgets(part.data(), part.size(), pipe.get()) != nullptr) text += part.data();
  std::istringstream in(text);
  std::vector<double> numbers;
  for (double number = 0; in >> number;) numbers.push_back(number);
  return numbers;
}

}  // namespace strandbook
