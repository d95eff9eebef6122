#pragma once
// How the report says things: its sentences, numbers and dates in the language it is written in.

#include <string>
#include <string_view>
#include <unordered_map>

#include "domain/units/length_unit.hpp"
#include "edge/report/report.hpp"

namespace strandbook {

/// Sentences and words of ours are said in the report's language; names, cells of files and codes never pass
/// through here. In English everything stays as it is.
class Wording {
 public:
  explicit Wording(const ReportLanguage& language) : language_(language) {}

  /// A text of ours. What was said once is remembered, as tables say the same words on every row.
  std::string say(std::string_view english) const;
  /// A text that may be a cell of a file: one word or number stays.
  std::string cell(std::string_view english) const;
  /// A number as text, with the decimal mark of the language.
  std::string figure(std::string text) const;

  // The numbers of legible.hpp, with that mark.
  std::string decimal(double value, int decimals) const;
  std::string change(double value, int decimals) const;
  std::string plain(double value) const;
  std::string probability(double probability) const;
  std::string wavelengths(const std::vector<double>& wavelengths) const;
  std::string length(Metres length, LengthUnit unit) const;
  /// "2026-04-05", "05.04.2026".
  std::string day(const Instant& at) const;
  /// "2026-04-05 07:10:00Z", "05.04.2026 07:10:00 UTC".
  std::string moment(const Instant& at) const;
  const ReportLanguage& language() const { return language_; }

 private:
  const ReportLanguage& language_;
  mutable std::unordered_map<std::string, std::string> said_;
};

}  // namespace strandbook
