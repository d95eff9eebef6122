#pragma once
// Small steps of reading a rule file: members of an object, closed choices, numbers with unit and source.
// Each step that meets something wrong tells the RuleDesk and yields a harmless value; the first thing told
// is what the person sees, and nothing that was read is used after that.

#include <array>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/link.hpp"
#include "domain/rulebook/rule_ref.hpp"
#include "edge/exchange/json_node.hpp"

namespace strandbook {

/// Whose numbers a file holds.
enum class RuleOwner { published, own };

/// What every step needs to know of the file, and where it tells what is wrong.
class RuleDesk {
 public:
  explicit RuleDesk(std::string file) : file_(std::move(file)) {}

  void tell(std::size_t line, std::string found, std::string wanted, std::string advice = {});
  const std::optional<Problem>& first_problem() const { return problem_; }

  std::string document;
  std::string edition;
  RuleOwner owner = RuleOwner::published;

 private:
  std::string file_;
  std::optional<Problem> problem_;
};

/// The members of one object. Every member must have been asked for by the time of `finish`.
class ObjectReader {
 public:
  ObjectReader(const JsonNode& node, RuleDesk& desk);
  const JsonNode* maybe(std::string_view key);
  const JsonNode* wanted(std::string_view key);  ///< null, and told, where it is missing
  std::string text(std::string_view key);        ///< must be there; may be empty
  std::string text_with_words(std::string_view key);
  std::string maybe_text(std::string_view key);
  void finish();  ///< tells of the first member nobody asked for
  std::size_t line() const { return node_.line; }
  RuleDesk& desk() { return desk_; }

 private:
  std::string text_in(const JsonNode* member, std::string_view key);
  const JsonNode& node_;
  RuleDesk& desk_;
  std::set<std::string, std::less<>> asked_;
};

inline constexpr std::size_t largest_rule_file = 4'000'000;  ///< bytes

/// The name in an id: up to 60 lower-case letters, digits, '-' and '.'; in an id of one's own also upper-case
/// letters and '_'.
bool well_formed_name(std::string_view name, bool own);

/// Each key may be claimed once; the second claim names the line of the first.
class Once {
 public:
  void claim(const std::string& what, std::size_t line, RuleDesk& desk);

 private:
  std::map<std::string, std::size_t> lines_;
};

struct NumberKind {
  std::string_view unit;
  double least;
  double most;
};
inline constexpr NumberKind attenuation_number{"dB/km", 0, 20};
inline constexpr NumberKind joint_number{"dB", 0, 5};
inline constexpr NumberKind allowance_number{"dB", 0, 60};
inline constexpr NumberKind whole_link_number{"dB", 0, 100};
inline constexpr NumberKind wavelength_number{"nm", 400, 2000};
inline constexpr NumberKind length_number{"m", 1, 200000};

struct SourcedNumbers {
  std::vector<double> values;
  RuleRef source;
};
struct SourcedNumber {
  double value = 0;
  RuleRef source;
};

/// {"value", "unit", "clause", "standing"} and optionally "note", "document" with "edition".
SourcedNumber read_number(const JsonNode* node, const NumberKind& kind, RuleDesk& desk);
/// The same with a list of values.
SourcedNumbers read_numbers(const JsonNode* node, const NumberKind& kind, RuleDesk& desk);
double plain_number(const JsonNode* node, const NumberKind& kind, RuleDesk& desk);
/// One number or a list of them, without a source: the keys of a row.
std::vector<double> plain_numbers(const JsonNode* node, const NumberKind& kind, RuleDesk& desk);
/// "standing" of an object; told where it is missing, or where a published file holds an owner's number.
Standing read_standing(ObjectReader& object);
/// "document" with its "edition", where the object names another than `source` has. True where it does.
bool read_document(ObjectReader& object, RuleRef& source);
/// "clause", "standing", "note", "document", "edition" of an object.
RuleRef read_source(ObjectReader& object);
void tell_unit(ObjectReader& object, std::string_view unit);

/// The same as plain_number, for counts.
int whole_number(const JsonNode* node, const NumberKind& kind, RuleDesk& desk);
/// A list of texts, none of them empty; no list, no texts.
std::vector<std::string> maybe_texts(const JsonNode* list, RuleDesk& desk);
/// A list of at least one text, none of them empty.
std::vector<std::string> read_texts(const JsonNode* list, RuleDesk& desk);

/// One of the closed choices, spelt as text_of spells it.
template <class T, std::size_t N>
std::optional<T> read_choice(const JsonNode& node, const std::array<T, N>& choices, RuleDesk& desk) {
  std::string offered;
  for (const T choice : choices) {
    if (node.kind == JsonKind::text && node.text == text_of(choice)) return choice;
    offered += (offered.empty() ? "\"" : ", \"") + std::string(text_of(choice)) + "\"";
  }
  desk.tell(node.line, "\"" + node.key + "\": " + words_of(node), "one of " + offered);
  return std::nullopt;
}

/// One choice or a list of them.
template <class T, std::size_t N>
std::vector<T> read_choices(const JsonNode* node, const std::array<T, N>& choices, RuleDesk& desk) {
  std::vector<T> chosen;
  if (node == nullptr) return chosen;
  const auto take = [&](const JsonNode& each) {
    if (const auto choice = read_choice(each, choices, desk)) chosen.push_back(*choice);
  };
  if (node->kind != JsonKind::list) {
    take(*node);
    return chosen;
  }
  for (const JsonNode& item : node->items) take(item);
  if (node->items.empty())
    desk.tell(node->line, "\"" + node->key + "\": an empty list", "at least one choice");
  return chosen;
}

}  // namespace strandbook
