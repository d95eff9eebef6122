#pragma once
// What the program says, in another language: finished English sentences against templates of both languages.

#include <initializer_list>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// Templates of one language (texts/de.json). In English "{}" stands for whatever was put in; in the other
/// language "{0}", "{1}" say where it goes. What was put in is translated in its turn, and a number of ours
/// gets a decimal comma, unless it stood in quotes. A sign in the brace says otherwise: "{0!}" stays to the
/// letter (names, editions), "{0=}" may hold a cell of a file (see `cell`),
/// "{0+}" may hold several sentences, "{0-}" stays and is one item of a list.
class Catalogue {
 public:
  struct File {
    std::string_view json;
    const char* name;
  };
  /// Reads {"English {}": "German {0}", ...}; of equal entries the first holds. Fails with the entry whose
  /// places do not agree.
  static Result<Catalogue> parse(std::initializer_list<File> files);

  /// The text in this language: as a whole, else sentence by sentence and part by part. What no template
  /// fits stays English. Work is linear in the text for each template that begins or ends like it.
  std::string translated(std::string_view english) const;
  /// What was found, which may be a cell of a file: one word or number stays, a sentence of ours does not.
  std::string cell(std::string_view english) const;
  /// A text that is a number, or a list of them, with decimal commas; else as `translated`.
  std::string figure(std::string_view english) const;

  std::size_t size() const { return whole_.size() + patterns_.size(); }

 private:
  enum class Treatment { translate, keep, words_only, sentences, item };
  struct Hole {
    std::size_t of = 0;  ///< which "{}" of the English
    Treatment treatment = Treatment::translate;
  };
  struct Pattern {
    std::vector<std::string> pieces;   ///< of the English, one more than it has holes
    std::vector<std::string> said;     ///< pieces of the other language, one more than `holes`
    std::vector<Hole> holes;           ///< in the order of the other language
    std::vector<Treatment> treatment;  ///< of each "{}" of the English
    std::size_t weight = 0;            ///< letters of the English: the weightier fits first
  };
  using Captures = std::vector<std::string_view>;
  using Index = std::unordered_map<std::string_view, std::vector<std::uint32_t>>;

  Result<Done> add(const File& file);
  static Result<Pattern> pattern_of(const std::string& english, const std::string& other, const Place& at);
  static bool fits(const Pattern& pattern, std::string_view text, Captures& captures);
  void index_patterns();
  const Pattern* find(std::string_view text, Captures& captures, int depth) const;
  bool known(std::string_view text, std::string& out, int depth) const;
  std::string part(std::string_view text, int depth) const;
  bool parts(std::string_view text, std::string& out, int depth) const;
  std::string capture(std::string_view text, Treatment treatment, int depth) const;

  std::unordered_map<std::string, std::string> whole_;
  std::vector<Pattern> patterns_;     ///< the weightiest first
  Index by_start_;                    ///< first letters of patterns that begin with words
  Index by_end_;                      ///< last letters of those that end with words only
  std::vector<std::uint32_t> loose_;  ///< the others; light ones are tried within a sentence only
};

/// German, built in from texts/de.json and texts/rules.de.json.
const Catalogue& german_catalogue();

/// The same with the words of the report before them (texts/report.de.json): heads of columns and other
/// single words, which elsewhere might be a name.
const Catalogue& german_report_catalogue();

}  // namespace strandbook
