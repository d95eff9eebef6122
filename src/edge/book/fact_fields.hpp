#pragma once
// Reading the members of a fact's body. The first member that is not what it should be is remembered.

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/link/instant.hpp"
#include "domain/problem/problem.hpp"
#include "edge/book/uuid.hpp"

namespace strandbook {

class FactFields {
 public:
  /// `id`: the fact whose body it is, to name it in a message.
  static Result<FactFields> parse(std::string_view body, const Uuid& id);

  /// Empty where the member is absent.
  std::string_view text(const char* key) const;
  std::optional<double> number(const char* key) const;
  std::optional<std::int64_t> integer(const char* key) const;
  std::vector<double> numbers(const char* key) const;
  std::optional<Uuid> uuid(const char* key) const;
  std::optional<Instant> instant() const;  ///< members "time" and "time_has"
  bool has(const char* key) const;
  std::map<std::string, std::string> texts(const char* key) const;
  /// Members of an array of objects.
  std::vector<FactFields> objects(const char* key) const;
  /// Canonical text of a member that is an object; empty where there is none.
  std::string object_text(const char* key) const;

  /// A member that must be there.
  double needed_number(const char* key) const;
  /// A word out of a closed list, by its parser; nothing where absent.
  template <class T>
  std::optional<T> word(const char* key, std::optional<T> (*parser)(std::string_view)) const {
    const std::string_view written = text(key);
    if (written.empty()) return std::nullopt;
    const std::optional<T> value = parser(written);
    if (!value) mark(key);
    return value;
  }

  /// Says that this member is not what it should be.
  void mark(const char* key) const;
  /// Problem of the first member that was not what it should be.
  Result<Done> check() const;

 private:
  struct Value;  ///< an object of the parsed body, which it keeps
  FactFields(std::shared_ptr<const Value> object, const Uuid& id) : object_(std::move(object)), id_(id) {}
  std::shared_ptr<const Value> object_;
  Uuid id_;
  mutable const char* bad_ = nullptr;
};

}  // namespace strandbook
