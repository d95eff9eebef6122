#include "edge/exchange/end_directions.hpp"

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

std::string without_blanks(std::string_view text) {
  std::string tight;
  for (const char c : folded(text))
    if (c != ' ') tight += c;
  return tight;
}

std::optional<Direction> between(std::string_view end_a, std::string_view end_b, NamedEnds ends) {
  const std::string a = without_blanks(end_a);
  const std::string b = without_blanks(end_b);
  const std::string from = without_blanks(ends.from);
  const std::string to = without_blanks(ends.to);
  const auto is = [](const std::string& named, const std::string& end) {
    return named.empty() || named == end;
  };
  if (a == b || (from.empty() && to.empty())) return std::nullopt;
  const bool forward = is(from, a) && is(to, b);
  const bool backward = is(from, b) && is(to, a);
  if (forward == backward) return std::nullopt;
  return forward ? Direction::a_to_b : Direction::b_to_a;
}

}  // namespace

NamedEnds split_ends(std::string_view text) {
  for (const std::string_view joint :
       {"\xE2\x86\x92", "->", "=>", ">", " to ", " nach ", " vers ", " hacia "}) {
    const std::size_t at = text.find(joint);
    if (at != std::string_view::npos)
      return {trimmed(text.substr(0, at)), trimmed(text.substr(at + joint.size()))};
  }
  return {};
}

EndDirections::EndDirections(const Schedule* schedule) : schedule_(schedule) {}

std::optional<Direction> EndDirections::find(std::string_view link, std::string_view strand, NamedEnds ends) {
  std::string key;
  for (const std::string_view part : {link, strand, ends.from, ends.to}) (key += part) += '\x1f';
  if (key != last_key_) {
    last_ = look_up(link, strand, ends);
    last_key_ = std::move(key);
  }
  return last_;
}

std::optional<Direction> EndDirections::look_up(std::string_view link, std::string_view strand,
                                                NamedEnds ends) {
  if (const auto plain = between("A", "B", ends)) return plain;
  if (schedule_ == nullptr) return std::nullopt;
  if (!index_) index_ = std::make_unique<StrandIndex>(*schedule_);
  std::uint32_t at = index_->find(link, strand);
  if (at == no_strand) {
    if (!guesser_) guesser_ = std::make_unique<NameGuesser>(*schedule_);
    const NameMatch match = guesser_->guess(link, strand);
    if (match.repairs == 0) at = match.strand;
  }
  if (at == no_strand) return std::nullopt;
  return between((*schedule_)[at].end_a, (*schedule_)[at].end_b, ends);
}

}  // namespace strandbook
