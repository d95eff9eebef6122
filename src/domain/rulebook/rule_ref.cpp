#include "domain/rulebook/rule_ref.hpp"

#include <fmt/format.h>

namespace strandbook {

std::string_view text_of(Standing standing) {
  switch (standing) {
    case Standing::checked:
      return "checked";
    case Standing::seen_in_extract:
      return "seen in extract";
    case Standing::common_practice:
      return "common practice";
    case Standing::own:
      return "own";
    case Standing::from_memory:
      return "from memory";
  }
  return {};
}

std::string describe(const RuleRef& ref) {
  std::string text = ref.document;
  if (!ref.edition.empty()) text += (text.empty() ? "" : ":") + ref.edition;
  if (!ref.clause.empty()) text += (text.empty() ? "" : ", ") + ref.clause;
  return fmt::format("{}{}({})", text, text.empty() ? "" : " ", text_of(ref.standing));
}

}  // namespace strandbook
