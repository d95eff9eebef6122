#pragma once
// Small turns of phrase that writing and reading of fact bodies share.

#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "domain/link/instant.hpp"
#include "domain/link/link.hpp"
#include "edge/book/canonical_json.hpp"
#include "edge/book/fact_fields.hpp"

namespace strandbook {

/// The word of a choice; empty where none was made.
template <class T>
std::string_view word_of(const std::optional<T>& value) {
  return value ? text_of(*value) : std::string_view{};
}

/// Left out where empty.
template <class T>
void number_if(CanonicalObject& object, std::string_view key, const std::optional<T>& quantity) {
  if (quantity) object.number(key, quantity->value);
}

/// A quantity of that unit; nothing where the member is absent.
template <class T>
std::optional<T> quantity(const FactFields& fields, const char* key) {
  const std::optional<double> value = fields.number(key);
  return value ? std::optional<T>{T{*value}} : std::nullopt;
}

/// The value, unless a member that went into it was not what it should be.
template <class T>
Result<T> checked(T value, const FactFields& fields) {
  const Result<Done> done = fields.check();
  if (!done) return done.problem();
  return value;
}

/// Members "time" and "time_has": which parts were written, d for the date, t for the time of day, z for the
/// offset.
void append_time(CanonicalObject& object, const Instant& at);
/// Member "wavelengths_nm"; left out where empty.
void append_wavelengths(CanonicalObject& object, const std::vector<Nanometres>& wavelengths);
std::vector<Nanometres> wavelengths_from(const FactFields& fields);

}  // namespace strandbook
