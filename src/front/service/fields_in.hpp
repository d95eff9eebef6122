#pragma once
// The members of a JSON body, read one by one. The first thing wrong is remembered and told at the end.

#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "domain/link/instant.hpp"
#include "domain/problem/problem.hpp"
#include "edge/exchange/json_node.hpp"
#include "front/service/http.hpp"

namespace strandbook {

/// Largest text of a name or word; longer ones go by their own limit.
inline constexpr std::size_t usual_text = 200;

class FieldsIn {
 public:
  /// Fails where the body is no JSON object.
  static Result<FieldsIn> parse(const Request& request);
  explicit FieldsIn(const JsonNode& object) : object_(object) {}

  /// True where the body names the member, be it null.
  bool names(const char* key);
  // Absent and null are the same: nothing. Texts are trimmed of nothing.
  std::optional<std::string> text(const char* key, std::size_t most = usual_text);
  std::optional<double> number(const char* key, double least, double most);
  std::optional<int> whole(const char* key, int least, int most);
  std::vector<double> numbers(const char* key, double least, double most);
  /// A list of texts, none longer than usual; at most a thousand.
  std::vector<std::string> texts(const char* key);
  bool truth(const char* key);
  std::optional<Instant> instant(const char* key);
  const JsonNode* object(const char* key);
  template <class Read>
  auto choice(const char* key, Read read, const char* wanted) -> decltype(read(std::string_view{})) {
    const auto given = text(key);
    if (!given) return std::nullopt;
    const auto value = read(std::string_view(*given));
    if (!value) note(key, "\"" + *given + "\"", wanted);
    return value;
  }

  /// A text that must be there and not be empty.
  std::string needed_text(const char* key, std::size_t most = usual_text);
  double needed_number(const char* key, double least, double most);

  void note(const char* key, const std::string& found, const std::string& wanted);
  /// The first thing wrong, or a member that nobody asked for.
  Result<Done> check() const;

 private:
  const JsonNode* find(const char* key);
  JsonNode object_;
  std::set<std::string> known_;
  std::optional<Problem> problem_;
};

}  // namespace strandbook
