#include "domain/diagnosis/sentence.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "domain/plan/strand_index.hpp"

namespace strandbook {

std::string counted_words(std::size_t count, const char* one, const char* many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string strands_named(const Assessment& all, const std::vector<std::uint32_t>& strands) {
  constexpr std::size_t most = 3;
  std::string text;
  for (std::size_t i = 0; i < std::min(most, strands.size()); ++i)
    text += (i == 0 ? "" : ", ") + name_of(all.schedule[strands[i]]);
  if (strands.size() > most) text += fmt::format(" and {} more", strands.size() - most);
  return text;
}

std::string direction_words(std::optional<Direction> direction) {
  return direction ? std::string(text_of(*direction)) : "either direction";
}

std::string reference_words(const Reference& reference) {
  std::string text = reference.id.empty() ? "reference" : "reference " + reference.id;
  text += fmt::format(" at {} nm", reference.wavelength.value);
  if (reference.time) text += " of " + iso_text(*reference.time);
  return text;
}

std::string session_words(const Assessment& all, const JudgedTest& test) {
  if (test.reference != nothing) return reference_words(all.references[test.reference]);
  const Reading& reading = all.readings.rows[test.reading];
  std::string text = fmt::format("losses at {} nm", test.wavelength.value);
  if (!reading.operator_name.empty()) text += fmt::format(" by {}", reading.operator_name);
  const std::string file = all.readings.place_of(reading).file;
  if (!file.empty()) text += " in " + file;
  return text;
}

std::vector<std::uint32_t> measured_tests(const LinkTable& table, const std::vector<std::size_t>& rows) {
  std::vector<std::uint32_t> tests;
  for (const std::size_t row : rows)
    for (std::size_t column = 0; column < table.columns().size(); ++column)
      if (const std::uint32_t test = table.test(row, column);
          test != nothing && table.all().tests[test].has_loss)
        tests.push_back(test);
  std::sort(tests.begin(), tests.end());
  tests.erase(std::unique(tests.begin(), tests.end()), tests.end());
  return tests;
}

}  // namespace strandbook
