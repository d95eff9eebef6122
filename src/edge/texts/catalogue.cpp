#include "edge/texts/catalogue.hpp"

#include <array>
#include <cctype>

namespace strandbook {
namespace {

/// Deep enough for any sentence of ours; a text of a file that nests further stays as it is.
constexpr int deepest = 12;

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

/// "-0.75", "12.5 dB": digits, one point, digits, and at most a unit after it.
bool is_own_number(std::string_view text) {
  std::size_t at = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  const std::size_t start = at;
  while (at < text.size() && is_digit(text[at])) ++at;
  if (at == start || at == text.size() || text[at] != '.') return false;
  const std::size_t point = at++;
  while (at < text.size() && is_digit(text[at])) ++at;
  if (at == point + 1) return false;
  if (at == text.size()) return true;
  static constexpr std::array<std::string_view, 10> units{" dB", " dBm", " m",  " nm",    " km",
                                                          " %",  " ns",  " µm", " dB/km", " s"};
  for (const std::string_view unit : units)
    if (text.substr(at) == unit) return true;
  return false;
}

std::string with_comma(std::string_view number) {
  std::string out{number};
  out[out.find('.')] = ',';
  return out;
}

/// Where the next sentence begins: after ". ", "? " or "! " before a capital or a quote.
std::size_t next_sentence(std::string_view text) {
  for (std::size_t i = 1; i + 2 < text.size(); ++i) {
    if (text[i] != ' ' || (text[i - 1] != '.' && text[i - 1] != '?' && text[i - 1] != '!')) continue;
    if (std::isupper(static_cast<unsigned char>(text[i + 1])) != 0 || text[i + 1] == '`') return i + 1;
  }
  return std::string_view::npos;
}

/// The blank before a bracket that ends the text; npos where there is none.
std::size_t ending_bracket(std::string_view text) {
  return text.ends_with(')') ? text.rfind(" (") : std::string_view::npos;
}

bool stands_in_quotes(const std::string& before, const std::string& after) {
  return before.ends_with('"') && after.starts_with('"');
}

}  // namespace

bool Catalogue::fits(const Pattern& pattern, std::string_view text, Captures& captures) {
  const std::string& first = pattern.pieces.front();
  const std::string& last = pattern.pieces.back();
  if (text.size() < pattern.weight || !text.starts_with(first) || !text.ends_with(last)) return false;
  captures.clear();
  const std::string_view body = text.substr(0, text.size() - last.size());
  std::size_t from = first.size();
  for (std::size_t i = 1; i < pattern.pieces.size(); ++i) {
    const bool ends = i + 1 == pattern.pieces.size();
    const std::size_t at = ends ? body.size() : body.find(pattern.pieces[i], from);
    if (at == std::string_view::npos || at < from) return false;
    const std::string_view held = body.substr(from, at - from);
    if (pattern.treatment[i - 1] != Treatment::sentences && next_sentence(held) != std::string_view::npos)
      return false;
    if (pattern.treatment[i - 1] == Treatment::item && held.find(", ") != std::string_view::npos)
      return false;
    captures.push_back(held);
    from = at + pattern.pieces[i].size();
  }
  return true;
}

std::string Catalogue::capture(std::string_view text, Treatment treatment, int depth) const {
  if (treatment == Treatment::keep || treatment == Treatment::item) return std::string(text);
  if (treatment == Treatment::words_only) return cell(text);
  return is_own_number(text) ? with_comma(text) : part(text, depth);
}

bool Catalogue::known(std::string_view text, std::string& out, int depth) const {
  if (const auto found = whole_.find(std::string(text)); found != whole_.end()) {
    out = found->second;
    return true;
  }
  Captures captures;
  const Pattern* const pattern = text.empty() || depth > deepest ? nullptr : find(text, captures, depth);
  if (pattern == nullptr) return false;
  for (std::size_t i = 0; i < pattern->holes.size(); ++i) {
    const Hole& hole = pattern->holes[i];
    const bool quoted = stands_in_quotes(pattern->pieces[hole.of], pattern->pieces[hole.of + 1]);
    out += pattern->said[i];
    out += capture(captures[hole.of], quoted ? Treatment::keep : hole.treatment, depth + 1);
  }
  out += pattern->said.back();
  return true;
}

bool Catalogue::parts(std::string_view text, std::string& out, int depth) const {
  const auto split = [&](std::size_t at, std::size_t width) {
    if (at == std::string_view::npos || at == 0) return false;
    const std::string_view before = text.substr(0, at);
    const std::string_view after = text.substr(at + width);
    const std::string first = capture(before, Treatment::translate, depth + 1);
    const std::string second = capture(after, Treatment::translate, depth + 1);
    if (first == before && second == after) return false;
    out = first + std::string(text.substr(at, width)) + second;
    return true;
  };
  if (const std::size_t next = next_sentence(text); next != std::string_view::npos) return split(next - 1, 1);
  if (const std::size_t bracket = ending_bracket(text); bracket != std::string_view::npos && bracket > 0) {
    const std::string_view held = text.substr(bracket + 2, text.size() - bracket - 3);
    const std::string before = part(text.substr(0, bracket), depth + 1);
    const std::string inside = capture(held, Treatment::translate, depth + 1);
    if (before == text.substr(0, bracket) && inside == held) return false;
    out = before + " (" + inside + ")";
    return true;
  }
  return split(text.find("; "), 2) || split(text.find(": "), 2) || split(text.find(", "), 2);
}

std::string Catalogue::part(std::string_view text, int depth) const {
  std::string out;
  if (known(text, out, depth)) return out;
  // A sentence inside another is listed with its stop.
  const bool stops = text.size() > 1 && text.back() == '.' && is_letter(text[text.size() - 2]);
  if (stops && known(text.substr(0, text.size() - 1), out, depth)) return out + ".";
  if (depth <= deepest && parts(text, out, depth)) return out;
  return std::string(text);
}

std::string Catalogue::translated(std::string_view english) const { return part(english, 0); }

std::string Catalogue::cell(std::string_view english) const {
  return english.find(' ') == std::string_view::npos ? std::string(english) : part(english, 0);
}

std::string Catalogue::figure(std::string_view english) const {
  return capture(english, Treatment::translate, 0);
}

}  // namespace strandbook
