#include "domain/applications/array_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace strandbook {
namespace {

std::string_view trimmed_word(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::string lower(std::string_view text) {
  std::string small(text);
  for (char& c : small)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return small;
}

/// The text without this first word, case aside; nothing where it begins otherwise.
std::optional<std::string_view> after_word(std::string_view text, std::string_view word) {
  if (text.size() <= word.size() || lower(text.substr(0, word.size())) != word) return std::nullopt;
  if (text[word.size()] != ' ') return std::nullopt;
  return trimmed_word(text.substr(word.size()));
}

const ArrayType* type_of(const ArrayMaps& maps, ArrayPart part, std::string_view name, int fibres) {
  for (const ArrayType& type : maps.types)
    if (type.part == part && type.fibres == fibres && lower(type.name) == lower(name)) return &type;
  return nullptr;
}

std::string names_of(const ArrayMaps& maps, int fibres) {
  std::string names;
  for (const ArrayType& type : maps.types)
    if (type.part == ArrayPart::array && type.fibres == fibres)
      names += (names.empty() ? "" : ", ") + type.name;
  for (const ChannelMethod& method : maps.methods)
    names += (names.empty() ? "method " : ", method ") + method.name;
  return names;
}

Problem unknown_type(const ArrayMaps& maps, const std::string& name, int fibres) {
  return {{},
          fmt::format("array type \"{}\" for {} fibres", name, fibres),
          fmt::format("one of {}, or parts joined by +", names_of(maps, fibres)),
          "Such as B, method B, or adapter A + B + adapter A."};
}

ChannelPart part_named(std::string_view word) {
  if (const auto adapter = after_word(word, "adapter")) return {ArrayPart::adapter, std::string(*adapter)};
  for (const std::string_view first : {"type", "trunk", "cord", "array"})
    if (const auto rest = after_word(word, first)) return {ArrayPart::array, std::string(*rest)};
  return {ArrayPart::array, std::string(word)};
}

std::vector<ChannelPart> parts_in(std::string_view chain) {
  std::vector<ChannelPart> parts;
  for (std::size_t at = 0; at <= chain.size();) {
    const std::size_t end = std::min(chain.find('+', at), chain.size());
    parts.push_back(part_named(trimmed_word(chain.substr(at, end - at))));
    at = end + 1;
  }
  return parts;
}

Result<WantedMap> chain_of(const ArrayMaps& maps, const std::vector<ChannelPart>& parts,
                           const std::string& name, int fibres) {
  WantedMap wanted{name, {}, {}, {}, {}};
  std::vector<LaneMap> chain;
  for (const ChannelPart& part : parts) {
    const ArrayType* type = type_of(maps, part.part, part.type, fibres);
    if (type == nullptr) return unknown_type(maps, name, fibres);
    chain.push_back(type->map);
    if (parts.size() == 1) wanted.name = (part.part == ArrayPart::array ? "type " : "adapter ") + type->name;
    if (std::find(wanted.sources.begin(), wanted.sources.end(), type->source) == wanted.sources.end())
      wanted.sources.push_back(type->source);
  }
  wanted.map = composed(chain);
  return wanted;
}

const ChannelMethod* method_named(const ArrayMaps& maps, std::string_view name, bool said_method) {
  for (const ChannelMethod& method : maps.methods)
    if (lower(method.name) == lower(name) && (said_method || method.name.size() > 1)) return &method;
  return nullptr;
}

}  // namespace

std::string_view text_of(ArrayPart part) { return part == ArrayPart::array ? "array" : "adapter"; }

LaneMap composed(const std::vector<LaneMap>& parts) {
  if (parts.empty()) return {};
  LaneMap whole = parts.front();
  for (std::size_t i = 1; i < parts.size(); ++i) {
    LaneMap longer;
    for (const auto& [near, far] : whole)
      if (const auto next = parts[i].find(far); next != parts[i].end()) longer[near] = next->second;
    whole = std::move(longer);
  }
  return whole;
}

Result<WantedMap> wanted_map(const ArrayMaps& maps, const std::string& name, int fibres) {
  const std::string_view word = trimmed_word(name);
  const auto said = after_word(word, "method");
  const ChannelMethod* method = method_named(maps, said.value_or(word), said.has_value());
  if (method == nullptr && said) return unknown_type(maps, name, fibres);
  if (method == nullptr) return chain_of(maps, parts_in(word), name, fibres);
  Result<WantedMap> wanted = chain_of(maps, method->parts, name, fibres);
  if (!wanted) return wanted;
  wanted->name = "method " + method->name;
  wanted->sources.insert(wanted->sources.begin(), method->source);
  wanted->cords = method->cords;
  wanted->not_known = method->not_known;
  return wanted;
}

int fibres_of(const TracedLanes& lanes, const ArrayMaps& maps) {
  std::set<int> sizes;
  for (const ArrayType& type : maps.types)
    if (type.fibres == type.positions) sizes.insert(type.fibres);
  std::set<int> nears;
  for (const TracedLane& lane : lanes) nears.insert(lane.near);
  for (const int size : sizes) {
    const auto beyond = std::count_if(lanes.begin(), lanes.end(), [size](const TracedLane& lane) {
      return lane.near > size || lane.far.value_or(0) > size;
    });
    if (nears.size() <= static_cast<std::size_t>(size) && beyond <= 1) return size;
  }
  return sizes.empty() ? 0 : *sizes.rbegin();
}

std::string listed(const std::vector<int>& positions) {
  const std::size_t count = positions.size();
  if (count > 2 && positions.back() - positions.front() == static_cast<int>(count) - 1)
    return fmt::format("{} to {}", positions.front(), positions.back());
  std::string text;
  for (std::size_t i = 0; i < count; ++i)
    text += fmt::format("{}{}", i == 0 ? "" : i + 1 == count ? " and " : ", ", positions[i]);
  return text;
}

}  // namespace strandbook
