#include <algorithm>
#include <cctype>
#include <nlohmann/json.hpp>

#include "edge/texts/catalogue.hpp"

namespace strandbook {
namespace {

/// Length of the beginnings and ends by which patterns are found.
constexpr std::size_t index_length = 3;
/// Templates of fewer letters ("{} to {}") would fit names too.
constexpr std::size_t least_alone = 6;

std::vector<std::string> pieces_between_holes(const std::string& english) {
  std::vector<std::string> pieces;
  std::size_t from = 0;
  for (std::size_t at = english.find("{}"); at != std::string::npos; at = english.find("{}", from)) {
    pieces.push_back(english.substr(from, at - from));
    from = at + 2;
  }
  pieces.push_back(english.substr(from));
  return pieces;
}

Problem bad_entry(const Place& at, const std::string& english, const char* wanted) {
  return {at, "\"" + english + "\"", wanted, "Correct the entry."};
}

}  // namespace

extern const char* const german_texts;
extern const char* const german_rules;
extern const char* const german_report;

Result<Catalogue::Pattern> Catalogue::pattern_of(const std::string& english, const std::string& other,
                                                 const Place& at) {
  Pattern pattern;
  pattern.pieces = pieces_between_holes(english);
  pattern.treatment.assign(pattern.pieces.size() - 1, Treatment::translate);
  for (const std::string& piece : pattern.pieces) pattern.weight += piece.size();
  std::string piece;
  for (std::size_t i = 0; i < other.size(); ++i) {
    const bool digit = i + 2 < other.size() && std::isdigit(static_cast<unsigned char>(other[i + 1])) != 0;
    if (other[i] != '{' || !digit) {
      piece += other[i];
      continue;
    }
    Hole hole{static_cast<std::size_t>(other[i + 1] - '0'), Treatment::translate};
    i += 2;
    if (other[i] == '!') hole.treatment = Treatment::keep;
    if (other[i] == '=') hole.treatment = Treatment::words_only;
    if (other[i] == '+') hole.treatment = Treatment::sentences;
    if (other[i] == '-') hole.treatment = Treatment::item;
    if (hole.treatment != Treatment::translate) ++i;
    if (i >= other.size() || other[i] != '}' || hole.of >= pattern.treatment.size())
      return bad_entry(at, english, "places {0}, {1}, ... for the {} of the English, none beyond them");
    pattern.treatment[hole.of] = hole.treatment;
    pattern.said.push_back(std::move(piece));
    piece.clear();
    pattern.holes.push_back(hole);
  }
  pattern.said.push_back(std::move(piece));
  return pattern;
}

Result<Done> Catalogue::add(const File& file) {
  const Place at{file.name, {}, 0, {}};
  const nlohmann::json all = nlohmann::json::parse(file.json, nullptr, false);
  if (!all.is_object()) return Problem{at, "no object of texts", "{\"English {}\": \"other {0}\"}", ""};
  for (const auto& [english, other] : all.items()) {
    if (!other.is_string()) return bad_entry(at, english, "a text");
    if (english.find("{}") == std::string::npos) {
      whole_.emplace(english, other.get<std::string>());
      continue;
    }
    Result<Pattern> pattern = pattern_of(english, other.get<std::string>(), at);
    if (!pattern) return pattern.problem();
    patterns_.push_back(std::move(*pattern));
  }
  return Done{};
}

Result<Catalogue> Catalogue::parse(std::initializer_list<File> files) {
  Catalogue catalogue;
  for (const File& file : files) {
    const Result<Done> added = catalogue.add(file);
    if (!added) return added.problem();
  }
  catalogue.index_patterns();
  return catalogue;
}

void Catalogue::index_patterns() {
  std::stable_sort(patterns_.begin(), patterns_.end(),
                   [](const Pattern& a, const Pattern& b) { return a.weight > b.weight; });
  for (std::uint32_t i = 0; i < patterns_.size(); ++i) {
    const std::string_view first = patterns_[i].pieces.front();
    const std::string_view last = patterns_[i].pieces.back();
    if (first.size() >= index_length)
      by_start_[first.substr(0, index_length)].push_back(i);
    else if (last.size() >= index_length)
      by_end_[last.substr(last.size() - index_length)].push_back(i);
    else
      loose_.push_back(i);
  }
}

const Catalogue::Pattern* Catalogue::find(std::string_view text, Captures& captures, int depth) const {
  static const std::vector<std::uint32_t> none;
  const auto listed = [](const Index& index, std::string_view key) -> const std::vector<std::uint32_t>& {
    const auto found = index.find(key);
    return found == index.end() ? none : found->second;
  };
  const std::size_t length = std::min(index_length, text.size());
  const std::vector<std::uint32_t>* const lists[] = {&listed(by_start_, text.substr(0, length)),
                                                     &listed(by_end_, text.substr(text.size() - length)),
                                                     &loose_};
  const Pattern* best = nullptr;
  Captures tried;
  for (const std::vector<std::uint32_t>* list : lists) {
    for (const std::uint32_t i : *list) {
      const Pattern& pattern = patterns_[i];
      if (best != nullptr && pattern.weight <= best->weight) break;
      if (depth == 0 && list == &loose_ && pattern.weight < least_alone) break;
      if (!fits(pattern, text, tried)) continue;
      best = &pattern;
      captures = tried;
      break;
    }
  }
  return best;
}

const Catalogue& german_catalogue() {
  static const Catalogue catalogue = [] {
    Result<Catalogue> parsed =
        Catalogue::parse({{german_texts, "texts/de.json"}, {german_rules, "texts/rules.de.json"}});
    assert(parsed);
    return parsed ? std::move(*parsed) : Catalogue{};
  }();
  return catalogue;
}

const Catalogue& german_report_catalogue() {
  static const Catalogue catalogue = [] {
    Result<Catalogue> parsed = Catalogue::parse({{german_report, "texts/report.de.json"},
                                                 {german_texts, "texts/de.json"},
                                                 {german_rules, "texts/rules.de.json"}});
    assert(parsed);
    return parsed ? std::move(*parsed) : Catalogue{};
  }();
  return catalogue;
}

}  // namespace strandbook
