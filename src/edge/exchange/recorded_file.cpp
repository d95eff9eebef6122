#include "edge/exchange/recorded_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <nlohmann/json.hpp>

namespace strandbook {
namespace {

constexpr std::array outcomes = {Outcome::pass, Outcome::conditional_pass, Outcome::conditional_fail,
                                 Outcome::fail, Outcome::not_tested,       Outcome::invalid};

/// A value of a test; empty where it is null.
struct Held {
  std::optional<std::string> text;
  std::optional<double> number;
};
using HeldMembers = std::map<std::string, Held, std::less<>>;

/// Takes the tests as they pass, without keeping the document: a job may have a million of them.
class TestsTaken : public nlohmann::json_sax<nlohmann::json> {
 public:
  explicit TestsTaken(const std::string& name) : name_(name) {}

  bool null() override { return put({}); }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t value) override { return put({{}, static_cast<double>(value)}); }
  bool number_unsigned(number_unsigned_t value) override { return put({{}, static_cast<double>(value)}); }
  bool number_float(number_float_t value, const string_t&) override { return put({{}, value}); }
  bool string(string_t& value) override { return put({std::move(value), {}}); }
  bool binary(binary_t&) override { return false; }
  bool key(string_t& value) override {
    if (depth_ == 1) top_key_ = value;
    key_ = std::move(value);
    return true;
  }
  bool start_object(std::size_t) override {
    ++depth_;
    if (depth_ == 3 && top_key_ == "tests") test_.clear();
    return true;
  }
  bool end_object() override {
    const bool ended_test = depth_ == 3 && top_key_ == "tests";
    --depth_;
    return ended_test ? take_test() : true;
  }
  bool start_array(std::size_t) override {
    if (++depth_ == 2 && top_key_ == "tests") has_tests_ = true;
    return true;
  }
  bool end_array() override {
    --depth_;
    return true;
  }
  bool parse_error(std::size_t at, const std::string&, const nlohmann::detail::exception&) override {
    problem_ = wrong(fmt::format("no JSON from byte {} on", at), "a whole file that assess --json wrote");
    return false;
  }

  Result<RecordedJob> result() {
    if (problem_) return *problem_;
    if (!has_tests_ || format_ != 1)
      return wrong("JSON that is no assessment of format 1", "a file that assess --json wrote");
    return std::move(job_);
  }

 private:
  Problem wrong(std::string found, std::string wanted) const {
    return {{name_, {}, 0, {}},
            std::move(found),
            std::move(wanted),
            "Write it anew with strandbook assess --json."};
  }

  bool put(Held value) {
    if (depth_ == 1 && top_key_ == "format" && value.number) format_ = *value.number;
    if (depth_ == 1 && top_key_ == "job" && value.text) job_.name = *value.text;
    if (depth_ == 1 && top_key_ == "guard" && value.text)
      job_.guard = parse_guard_band(*value.text).value_or(GuardBand::none);
    if (depth_ == 3 && top_key_ == "tests") test_[key_] = std::move(value);
    return true;
  }

  std::optional<std::string> text(const char* key) const {
    const auto at = test_.find(key);
    return at == test_.end() ? std::nullopt : at->second.text;
  }
  std::optional<double> number(const char* key) const {
    const auto at = test_.find(key);
    return at == test_.end() ? std::nullopt : at->second.number;
  }

  bool refuse(const char* member, const char* wanted) {
    problem_ = wrong(fmt::format("test {} without \"{}\"", job_.tests.size() + 1, member), wanted);
    return false;
  }

  bool take_test() {
    const auto link = text("link");
    const auto strand = text("strand");
    if (!link || !strand) return refuse(link ? "strand" : "link", "link and strand of every test");
    RecordedTest row;
    row.link = *link;
    row.strand = *strand;
    row.wavelength = {number("wavelength_nm").value_or(0)};
    if (const auto direction = text("direction")) row.direction = parse_direction(*direction);
    const auto said = text("outcome");
    const auto outcome = std::find_if(outcomes.begin(), outcomes.end(),
                                      [&](Outcome each) { return said && *said == text_of(each); });
    if (outcome == outcomes.end()) return refuse("outcome", "an outcome that strandbook gives");
    row.outcome = *outcome;
    if (const auto limit = number("limit_db")) row.limit = Decibels{*limit};
    row.reference = text("reference").value_or("");
    row.time = text("time").value_or("");
    const bool evident = row.outcome != Outcome::not_tested && row.outcome != Outcome::invalid;
    if (const auto loss = number("loss_db"); loss && evident) {
      row.loss = Decibels{*loss};
      row.uncertainty = {number("uncertainty_db").value_or(0)};
      row.shared = {number("shared_uncertainty_db").value_or(0)};
    }
    job_.tests.push_back(std::move(row));
    return true;
  }

  const std::string& name_;
  RecordedJob job_;
  std::optional<Problem> problem_;
  HeldMembers test_;
  std::string key_;
  std::string top_key_;
  int depth_ = 0;
  double format_ = 0;
  bool has_tests_ = false;
};

}  // namespace

bool looks_like_recorded(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  return first != std::string_view::npos && text[first] == '{';
}

Result<RecordedJob> read_recorded_text(std::string_view text, const std::string& name) {
  TestsTaken taken(name);
  nlohmann::json::sax_parse(text, &taken);
  Result<RecordedJob> job = taken.result();
  if (job) job->source = name;
  return job;
}

}  // namespace strandbook
