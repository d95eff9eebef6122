#pragma once
// Headings that crews write, in English, German, French, Spanish, as bare keys (letters and digits only).

#include <cstdint>
#include <optional>
#include <string_view>

#include "edge/exchange/heading_words.hpp"

namespace strandbook {

struct Synonym {
  Field field;
  std::uint8_t rank;  ///< among identifiers: the smaller names the strand better
};

/// The whole heading as one word; nothing where unknown.
std::optional<Synonym> synonym_of(std::string_view key);

/// A word inside a longer heading that settles what the column is: "margin", "loss", "dampfung".
Field field_of_word(std::string_view word);

}  // namespace strandbook
