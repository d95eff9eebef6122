#include "workflow/stated_results.hpp"

#include <cmath>
#include <fstream>
#include <limits>
#include <nlohmann/json.hpp>

namespace strandbook {
namespace {

constexpr double absent = std::numeric_limits<double>::quiet_NaN();

bool alike(double a, double b) {
  constexpr double same_db = 1e-6;
  return (std::isnan(a) && std::isnan(b)) || std::abs(a - b) <= same_db;
}

/// Hears the JSON piece by piece. Tests are the objects in the list "tests" of the outermost object.
class ResultsReader : public nlohmann::json_sax<nlohmann::json> {
 public:
  explicit ResultsReader(const std::function<void(const StatedTest&)>& take) : take_(take) {}

  bool has_tests() const { return has_tests_; }
  std::size_t content() const { return content_; }

  bool null() override { return hear(0, false); }
  bool boolean(bool value) override { return hear(1, value); }
  bool number_integer(number_integer_t value) override { return number(static_cast<double>(value)); }
  bool number_unsigned(number_unsigned_t value) override { return number(static_cast<double>(value)); }
  bool number_float(number_float_t value, const string_t&) override { return number(value); }
  bool string(string_t& value) override {
    if (in_test())
      if (std::string* text = text_named(key_)) *text = value;
    return hear(2, value);
  }
  bool binary(binary_t&) override { return false; }  // JSON has none
  bool start_object(std::size_t) override {
    if (++depth_ == 3 && in_tests_) test_ = {{{}, {}, -1, {}}, {{}, absent, absent}};
    return hear(3, '{');
  }
  bool key(string_t& value) override {
    key_ = value;
    return hear(4, value);
  }
  bool end_object() override {
    if (depth_-- == 3 && in_tests_) take_(test_);
    return hear(3, '}');
  }
  bool start_array(std::size_t) override {
    if (++depth_ == 2 && key_ == "tests") in_tests_ = has_tests_ = true;
    return hear(3, '[');
  }
  bool end_array() override {
    if (depth_-- == 2) in_tests_ = false;
    return hear(3, ']');
  }
  bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception&) override {
    return false;
  }

 private:
  bool in_test() const { return in_tests_ && depth_ == 3; }

  std::string* text_named(const std::string& key) {
    if (key == "link") return &std::get<0>(test_.key);
    if (key == "strand") return &std::get<1>(test_.key);
    if (key == "direction") return &std::get<3>(test_.key);
    return key == "outcome" ? &test_.result.outcome : nullptr;
  }

  double* number_named(const std::string& key) {
    if (key == "wavelength_nm") return &std::get<2>(test_.key);
    if (key == "loss_db") return &test_.result.loss_db;
    return key == "limit_db" ? &test_.result.limit_db : nullptr;
  }

  bool number(double value) {
    if (in_test())
      if (double* named = number_named(key_)) *named = value;
    return hear(5, value);
  }

  template <class T>
  bool hear(std::size_t kind, const T& value) {
    constexpr std::size_t spread = 0x9e3779b97f4a7c15;
    content_ = (content_ ^ (std::hash<T>{}(value) + kind)) * spread;
    content_ ^= content_ >> 29U;
    return true;
  }

  const std::function<void(const StatedTest&)>& take_;
  StatedTest test_;
  std::string key_;
  int depth_ = 0;
  bool in_tests_ = false;
  bool has_tests_ = false;
  std::size_t content_ = 0;
};

}  // namespace

std::string name_of(const TestKey& key) { return std::get<0>(key) + " " + std::get<1>(key); }

bool StatedResult::operator==(const StatedResult& other) const {
  return outcome == other.outcome && alike(loss_db, other.loss_db) && alike(limit_db, other.limit_db);
}

std::optional<std::size_t> read_results(const std::string& path,
                                        const std::function<void(const StatedTest&)>& take) {
  std::ifstream file(path, std::ios::binary);
  ResultsReader reader(take);
  if (!nlohmann::json::sax_parse(file, &reader) || !reader.has_tests()) return std::nullopt;
  return reader.content();
}

}  // namespace strandbook
