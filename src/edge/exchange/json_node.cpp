#include "edge/exchange/json_node.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <iterator>
#include <nlohmann/json.hpp>
#include <optional>
#include <utility>

namespace strandbook {
namespace {

constexpr std::size_t deepest = 32;

/// Line of the last character read that is not blank. The parser reads one character past a number, which
/// may be the line's end; a value's own line is that of its last visible character.
struct LineCounter {
  std::size_t at = 1;
  std::size_t last_visible = 1;
  void pass(char c) {
    if (c == '\n') ++at;
    if (c != '\n' && c != '\r' && c != ' ' && c != '\t') last_visible = at;
  }
};

/// Reads characters for the parser and tells the counter of each.
class CountingIterator {
 public:
  using iterator_category = std::input_iterator_tag;
  using value_type = char;
  using difference_type = std::ptrdiff_t;
  using pointer = const char*;
  using reference = const char&;

  CountingIterator(const char* at, LineCounter* lines) : at_(at), lines_(lines) {}
  reference operator*() const { return *at_; }
  CountingIterator& operator++() {
    lines_->pass(*at_);
    ++at_;
    return *this;
  }
  bool operator==(const CountingIterator& other) const { return at_ == other.at_; }
  bool operator!=(const CountingIterator& other) const { return at_ != other.at_; }

 private:
  const char* at_;
  LineCounter* lines_;
};

/// Receives the parser's events. `false` stops it.
class TreeBuilder : public nlohmann::json_sax<nlohmann::json> {
 public:
  TreeBuilder(const LineCounter& lines, const std::string& name) : lines_(lines), name_(name) {}

  bool null() override { return put({.kind = JsonKind::null}); }
  bool boolean(bool value) override {
    return put({.kind = JsonKind::boolean, .text = value ? "true" : "false"});
  }
  bool number_integer(number_integer_t value) override { return number(static_cast<double>(value)); }
  bool number_unsigned(number_unsigned_t value) override { return number(static_cast<double>(value)); }
  bool number_float(number_float_t value, const string_t&) override { return number(value); }
  bool string(string_t& value) override { return put({.kind = JsonKind::text, .text = std::move(value)}); }
  bool binary(binary_t&) override { return false; }
  bool start_object(std::size_t) override { return open(JsonKind::object); }
  bool end_object() override { return close(); }
  bool start_array(std::size_t) override { return open(JsonKind::list); }
  bool end_array() override { return close(); }
  bool key(string_t& value) override {
    key_ = std::move(value);
    return true;
  }
  bool parse_error(std::size_t, const std::string& token, const nlohmann::detail::exception&) override {
    return refuse("text that is not JSON, near " + printable(token), "valid JSON",
                  "A comma, quote or bracket is missing or too many here or just before.");
  }

  Result<JsonNode> take() {
    if (problem_) return *problem_;
    return std::move(root_);
  }

 private:
  static std::string printable(const std::string& token) {
    std::string tail;
    for (const char c : token.substr(token.size() - std::min<std::size_t>(token.size(), 20)))
      tail += c >= ' ' && c <= '~' ? c : '?';
    return "'" + tail + "'";
  }

  bool refuse(std::string found, std::string wanted, std::string advice) {
    if (!problem_)
      problem_ = Problem{
          {name_, {}, lines_.last_visible, {}}, std::move(found), std::move(wanted), std::move(advice)};
    return false;
  }

  bool number(double value) {
    if (!std::isfinite(value))
      return refuse("a number beyond reach", "an ordinary number", "Check its exponent.");
    return put({.kind = JsonKind::number, .number = value});
  }

  bool put(JsonNode node) {
    node.line = lines_.last_visible;
    node.key = std::exchange(key_, {});
    if (open_.empty()) {
      root_ = std::move(node);
    } else {
      open_.back().items.push_back(std::move(node));
    }
    return true;
  }

  bool open(JsonKind kind) {
    if (open_.size() == deepest)
      return refuse("more than 32 brackets inside one another", "a flatter file", "Is this a rule file?");
    open_.push_back({.kind = kind, .line = lines_.last_visible, .key = std::exchange(key_, {})});
    return true;
  }

  bool close() {
    JsonNode done = std::move(open_.back());
    open_.pop_back();
    const std::size_t begins = done.line;
    key_ = std::exchange(done.key, {});
    put(std::move(done));
    (open_.empty() ? root_ : open_.back().items.back()).line = begins;
    return true;
  }

  const LineCounter& lines_;
  const std::string& name_;
  JsonNode root_;
  std::vector<JsonNode> open_;
  std::string key_;
  std::optional<Problem> problem_;
};

}  // namespace

Result<JsonNode> parse_json(std::string_view text, const std::string& name) {
  LineCounter lines;
  TreeBuilder builder(lines, name);
  const char* end = text.data() + text.size();
  nlohmann::json::sax_parse(CountingIterator(text.data(), &lines), CountingIterator(end, &lines), &builder);
  return builder.take();
}

std::string words_of(const JsonNode& node) {
  switch (node.kind) {
    case JsonKind::null:
      return "null";
    case JsonKind::boolean:
      return node.text;
    case JsonKind::number:
      return fmt::format("the number {}", node.number);
    case JsonKind::text:
      return fmt::format("the text \"{}\"", node.text.substr(0, 60));
    case JsonKind::list:
      return "a list";
    case JsonKind::object:
      return "an object";
  }
  return {};
}

}  // namespace strandbook
