#include "edge/book/fact.hpp"

#include <array>

namespace strandbook {
namespace {

constexpr std::array<std::string_view, fact_kinds> kind_names = {
    "job",         "import",     "strand",     "reference",      "reading",
    "rule choice", "unread row", "note",       "correction",     "acknowledgement",
    "sign-off",    "cord check", "device key", "device retired", "calibration",
    "light path",  "time stamp", "trace",      "splice attempt"};

}  // namespace

std::string_view text_of(FactKind kind) { return kind_names[static_cast<std::size_t>(kind)]; }

std::optional<FactKind> parse_fact_kind(std::string_view text) {
  for (std::size_t i = 0; i < kind_names.size(); ++i)
    if (kind_names[i] == text) return static_cast<FactKind>(i);
  return std::nullopt;
}

Sha256 fact_hash(const Fact& fact) {
  std::string lines;
  lines.reserve(256 + fact.body.size());
  const auto line = [&lines](std::string_view text) { (lines += text) += '\n'; };
  line("strandbook fact 1");
  line(text_of(fact.id));
  line(text_of(fact.device));
  line(std::to_string(fact.sequence));
  line(std::to_string(fact.time_ms));
  line(text_of(fact.kind));
  line(fact.body);
  line(text_of(fact.previous));
  return sha256(lines);
}

}  // namespace strandbook
