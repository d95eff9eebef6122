#include "edge/report/wording.hpp"

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_remembered = 4000;

/// "2026-04-05" -> "05.04.2026"; a time of day stays. (SOURCE: DIN 5008 allows both orders; this is the usual
/// one: common practice.)
std::string day_first(const std::string& iso) {
  if (iso.size() < 10 || iso[4] != '-' || iso[7] != '-') return iso;
  return iso.substr(8, 2) + "." + iso.substr(5, 2) + "." + iso.substr(0, 4) + iso.substr(10);
}

}  // namespace

std::string Wording::say(std::string_view english) const {
  if (!language_.said || english.empty()) return std::string(english);
  const std::string key(english);
  if (const auto found = said_.find(key); found != said_.end()) return found->second;
  if (said_.size() >= most_remembered) said_.clear();
  return said_.emplace(key, language_.said(english)).first->second;
}

std::string Wording::cell(std::string_view english) const {
  return language_.said_of_cell ? language_.said_of_cell(english) : std::string(english);
}

std::string Wording::figure(std::string text) const {
  if (language_.decimal_mark != '.')
    for (char& letter : text)
      if (letter == '.') letter = language_.decimal_mark;
  return text;
}

std::string Wording::decimal(double value, int decimals) const {
  return figure(decimal_text(value, decimals));
}
std::string Wording::change(double value, int decimals) const { return figure(signed_text(value, decimals)); }
std::string Wording::plain(double value) const { return figure(plain_text(value)); }
std::string Wording::probability(double probability) const { return figure(probability_text(probability)); }
std::string Wording::length(Metres length, LengthUnit unit) const {
  return figure(length_text(length, unit));
}

std::string Wording::wavelengths(const std::vector<double>& wavelengths) const {
  std::string text;
  for (const double each : wavelengths) text += (text.empty() ? "" : ", ") + plain(each);
  return text;
}

std::string Wording::day(const Instant& at) const {
  const std::string iso = iso_text(at).substr(0, 10);
  return language_.dates == DateForm::iso ? iso : day_first(iso);
}

std::string Wording::moment(const Instant& at) const {
  if (language_.dates == DateForm::iso) return moment_text(at);
  std::string text = day_first(moment_text(at));
  if (!text.empty() && text.back() == 'Z') text.replace(text.size() - 1, 1, " UTC");
  return text;
}

}  // namespace strandbook
