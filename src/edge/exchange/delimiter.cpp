#include "edge/exchange/delimiter.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstddef>
#include <map>
#include <vector>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

constexpr std::size_t kSampleRows = 200;
// On equal evidence the rarer sign in prose wins: a comma may be a decimal sign or part of a name.
constexpr std::array<char, 4> kCandidates = {'\t', ';', '|', ','};
constexpr double kLeastSupport = 0.25;

/// How one candidate cuts the sample.
struct Cut {
  std::vector<std::size_t> widths;  ///< cells of each row that is not blank
  std::size_t separators = 0;
  std::size_t between_digits = 0;  ///< separators such as the one in "3,92"
};

class SampleCutter {
 public:
  SampleCutter(std::string_view sample, char candidate) : sample_(sample), candidate_(candidate) {}

  Cut cut() {
    for (at_ = 0; at_ < sample_.size() && cut_.widths.size() < kSampleRows; ++at_) take(sample_[at_]);
    if (at_ == sample_.size()) end_row();
    return std::move(cut_);
  }

 private:
  void take(char c) {
    if (quoted_) {
      // A doubled quote closes and opens again, which comes to the same.
      if (c == '"') quoted_ = false;
    } else if (c == '"' && (cell_start_ || closed_quote_just_now())) {
      quoted_ = true;
      blank_ = false;
      cell_start_ = false;
    } else if (c == candidate_) {
      separator();
    } else if (c == '\n' || c == '\r') {
      end_row();
    } else {
      blank_ = blank_ && (c == ' ' || c == '\t');
      cell_start_ = false;
    }
  }
  bool closed_quote_just_now() const { return at_ > 0 && sample_[at_ - 1] == '"'; }
  void separator() {
    ++width_;
    ++cut_.separators;
    const bool digits =
        at_ > 0 && at_ + 1 < sample_.size() && is_digit(sample_[at_ - 1]) && is_digit(sample_[at_ + 1]);
    cut_.between_digits += digits ? 1U : 0U;
    blank_ = false;
    cell_start_ = true;
  }
  void end_row() {
    if (!blank_) cut_.widths.push_back(width_);
    width_ = 1;
    blank_ = true;
    cell_start_ = true;
  }

  std::string_view sample_;
  char candidate_;
  Cut cut_;
  std::size_t at_ = 0;
  std::size_t width_ = 1;
  bool quoted_ = false;
  bool blank_ = true;
  bool cell_start_ = true;
};

/// The commonest width above one, as a share of all rows: 1 is a table without one odd row.
double support(const Cut& cut) {
  std::map<std::size_t, std::size_t> rows_of_width;
  for (const std::size_t width : cut.widths)
    if (width > 1) ++rows_of_width[width];
  std::size_t most = 0;
  for (const auto& [width, rows] : rows_of_width) most = std::max(most, rows);
  return cut.widths.empty() ? 0 : static_cast<double>(most) / static_cast<double>(cut.widths.size());
}

/// A column of decimal commas below its heading looks like two columns; it is one.
bool is_decimal_column(const Cut& cut) {
  const bool only_decimals = cut.separators > 0 && cut.separators == cut.between_digits;
  const bool pairs = std::all_of(cut.widths.begin(), cut.widths.end(), [](std::size_t w) { return w <= 2; });
  return only_decimals && pairs && cut.widths.front() == 1;
}

double score(const Cut& cut, char candidate) {
  if (candidate != ',') return support(cut);
  if (cut.widths.empty() || is_decimal_column(cut)) return 0;
  // Commas that mostly stand inside numbers are decimal signs if anything else cuts the file at all.
  const bool mostly_decimals = cut.between_digits * 5 >= cut.separators * 4;
  return support(cut) * (mostly_decimals ? 0.5 : 1.0);
}

std::string_view first_line(std::string_view text) { return text.substr(0, text.find_first_of("\r\n")); }

std::optional<char> stated_delimiter(std::string_view text) {
  std::string_view line = first_line(text);
  if (line.size() == 7 && line.front() == '"' && line.back() == '"') line = line.substr(1, 5);
  if (line.size() != 5 || line[3] != '=') return std::nullopt;
  for (std::size_t i = 0; i < 3; ++i)
    if (std::tolower(static_cast<unsigned char>(line[i])) != "sep"[i]) return std::nullopt;
  const auto sign = static_cast<unsigned char>(line[4]);
  if (sign == '"' || sign >= 0x80 || std::isalnum(sign) != 0) return std::nullopt;
  return line[4];
}

}  // namespace

Delimiter find_delimiter(std::string_view text) {
  if (const auto stated = stated_delimiter(text)) return {stated, true};
  std::string_view sample = text.substr(0, sample_bytes);
  // Half a row at the end of the sample would count as an odd one.
  if (sample.size() < text.size() && sample.rfind('\n') != std::string_view::npos)
    sample = sample.substr(0, sample.rfind('\n'));
  std::optional<char> best;
  double best_score = 0;
  for (const char candidate : kCandidates) {
    const double candidate_score = score(SampleCutter(sample, candidate).cut(), candidate);
    if (candidate_score < kLeastSupport || candidate_score <= best_score) continue;
    best = candidate;
    best_score = candidate_score;
  }
  return {best, false};
}

std::string describe(const Delimiter& delimiter) {
  if (!delimiter.character) return "one column";
  std::string words = *delimiter.character == '\t' ? "tab" : std::string("'") + *delimiter.character + "'";
  words += " between cells";
  return delimiter.stated ? words + " (the first line says so)" : words;
}

}  // namespace strandbook
