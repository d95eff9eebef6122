#include <array>
#include <bit>

#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

constexpr NameRepairs bit(NameRepair repair) { return static_cast<NameRepairs>(repair); }
constexpr NameRepairs every_repair = 15;

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_separator(char c) {
  return c == ' ' || c == '-' || c == '_' || c == '/' || c == '.' || c == ':' || c == '\\' || c == '+';
}
char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; }

/// "1.00E+10", as a spreadsheet shows the name 1E10: back to mantissa and exponent.
std::string without_exponent_form(const std::string& text) {
  const std::size_t e = text.find("E+");
  if (e == std::string::npos || e == 0) return text;
  std::string mantissa = text.substr(0, e);
  for (const char c : mantissa)
    if (!is_digit(c) && c != '.' && c != ',') return text;
  const std::size_t point = mantissa.find_first_of(".,");
  std::string decimals = point == std::string::npos ? "" : mantissa.substr(point + 1);
  while (!decimals.empty() && decimals.back() == '0') decimals.pop_back();
  if (!decimals.empty()) return text;
  return mantissa.substr(0, point) + "E" + text.substr(e + 2);
}

std::string with_letters_as_digits(std::string text) {
  for (char& c : text) {
    if (c == 'O') c = '0';
    if (c == 'I' || c == 'L') c = '1';
  }
  return text;
}

/// Leading zeros of every run of digits away; a run of zeros keeps one.
std::string without_padding(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool starts_run = text[i] == '0' && (i == 0 || !is_digit(text[i - 1]));
    if (!starts_run) {
      out += text[i];
      continue;
    }
    while (i + 1 < text.size() && text[i] == '0' && is_digit(text[i + 1])) ++i;
    out += text[i];
  }
  return out;
}

/// One mark for any run of separators. They part the runs of digits, so they cannot simply go.
std::string with_one_separator(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (!is_separator(c))
      out += c;
    else if (!out.empty() && out.back() != '-')
      out += '-';
  }
  while (!out.empty() && out.back() == '-') out.pop_back();
  return out;
}

std::string repaired(std::string_view text, NameRepairs repairs) {
  std::string out = tidy_name(text);
  if (repairs & bit(NameRepair::exponent)) out = without_exponent_form(out);
  if (repairs & bit(NameRepair::letters)) out = with_letters_as_digits(out);
  if (repairs & bit(NameRepair::separators)) out = with_one_separator(out);
  if (repairs & bit(NameRepair::padding)) out = without_padding(out);
  return out;
}

std::string joined(std::string_view link, std::string_view strand, char by) {
  std::string text{link};
  if (!link.empty() && !strand.empty()) text += by;
  text += strand;
  return text;
}

void put(std::unordered_map<std::string, std::uint32_t>& table, std::string key, std::uint32_t strand) {
  const auto [at, fresh] = table.emplace(std::move(key), strand);
  if (!fresh && at->second != strand) at->second = no_strand;
}

/// The fewest kinds of repair that make the two spellings one.
NameRepairs least_repairs(std::string_view found, std::string_view scheduled) {
  NameRepairs best = every_repair;
  for (NameRepairs set = 0; set <= every_repair; ++set)
    if (std::popcount(set) < std::popcount(best) && repaired(found, set) == repaired(scheduled, set))
      best = set;
  return best;
}

constexpr auto repair_names = std::to_array<std::pair<std::string_view, NameRepair>>({
    {"padding", NameRepair::padding},
    {"separators", NameRepair::separators},
    {"letters", NameRepair::letters},
    {"exponent", NameRepair::exponent},
});

}  // namespace

std::string tidy_name(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\t';
    if (blank && (out.empty() || out.back() == ' ')) continue;
    out += blank ? ' ' : upper(c);
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::optional<NameRepair> parse_name_repair(std::string_view text) {
  for (const auto& [name, repair] : repair_names)
    if (name == text) return repair;
  return std::nullopt;
}

std::string describe_repairs(NameRepairs repairs) {
  std::string text;
  for (const auto& [name, repair] : repair_names) {
    if (!(repairs & bit(repair))) continue;
    if (!text.empty()) text += ", ";
    text += name;
  }
  return text.empty() ? "case and blanks" : text;
}

NameGuesser::NameGuesser(const Schedule& schedule) : schedule_(schedule) {
  for (std::uint32_t i = 0; i < schedule.size(); ++i) {
    const std::string_view link = link_name(schedule[i]);
    put(tidy_, tidy_name(joined(link, schedule[i].strand, '\x1f')), i);
    put(tidy_, tidy_name(schedule[i].strand), i);
    put(bare_, repaired(joined(link, schedule[i].strand, '-'), every_repair), i);
    put(bare_, repaired(schedule[i].strand, every_repair), i);
  }
}

std::uint32_t NameGuesser::tidy_match(std::string_view link, std::string_view strand) const {
  const auto find = [this](const std::string& key) {
    const auto at = tidy_.find(key);
    return at == tidy_.end() ? no_strand : at->second;
  };
  const std::uint32_t found = find(tidy_name(joined(link, strand, '\x1f')));
  if (found != no_strand || (!link.empty() && !strand.empty())) return found;
  // One text may hold both names: "BB-01-07" is link BB-01, strand 07.
  const std::string text = tidy_name(joined(link, strand, ' '));
  for (std::size_t i = 1; i + 1 < text.size(); ++i) {
    if (!is_separator(text[i])) continue;
    const std::uint32_t split = find(joined(text.substr(0, i), text.substr(i + 1), '\x1f'));
    if (split != no_strand) return split;
  }
  return no_strand;
}

NameMatch NameGuesser::guess(std::string_view link, std::string_view strand) const {
  const std::uint32_t tidied = tidy_match(link, strand);
  if (tidied != no_strand) return {tidied, 0};
  const std::string found = joined(link, strand, '-');
  const auto at = bare_.find(repaired(found, every_repair));
  if (at == bare_.end() || at->second == no_strand) return {};
  const ScheduledStrand& row = schedule_[at->second];
  const std::string whole = joined(link_name(row), row.strand, '-');
  const bool whole_fits = repaired(whole, every_repair) == repaired(found, every_repair);
  return {at->second, least_repairs(found, whole_fits ? whole : row.strand)};
}

}  // namespace strandbook
