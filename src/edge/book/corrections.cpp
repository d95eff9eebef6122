#include "edge/book/corrections.hpp"

#include "edge/book/domain_facts.hpp"

namespace strandbook {
namespace {

/// Corrections of corrections beyond this depth are no person's work and are passed over.
constexpr int deepest = 100;

}  // namespace

Result<Done> Corrections::add(const Fact& fact) {
  if (target_of_.contains(fact.id)) return Done{};
  const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
  if (!fields) return fields.problem();
  Result<Correction> correction = correction_from(*fields);
  if (!correction) return correction.problem();
  target_of_.emplace(fact.id, correction->fact);
  std::vector<HeldCorrection>& held = by_target_[correction->fact];
  held.push_back({fact.id, std::move(*correction)});
  return Done{};
}

Fate Corrections::fate_of(const Uuid& fact) const {
  return by_target_.empty() ? Fate{} : fate_at_depth(fact, 0);
}

Fate Corrections::fate_at_depth(const Uuid& fact, int depth) const {
  const auto at = by_target_.find(fact);
  if (at == by_target_.end() || depth == deepest) return {};
  for (auto latest = at->second.rbegin(); latest != at->second.rend(); ++latest) {
    const Fate own = fate_at_depth(latest->id, depth + 1);
    if (own.withdrawn) continue;
    const HeldCorrection* by = own.by == nullptr ? &*latest : own.by;
    return {by->correction.withdraws(), by};
  }
  return {};
}

std::vector<Uuid> Corrections::naming(const Uuid& fact) const {
  std::vector<Uuid> ids;
  const auto at = by_target_.find(fact);
  if (at == by_target_.end()) return ids;
  for (const HeldCorrection& held : at->second) ids.push_back(held.id);
  return ids;
}

Uuid Corrections::root_of(const Uuid& fact) const {
  Uuid root = fact;
  for (int depth = 0; depth < deepest; ++depth) {
    const auto at = target_of_.find(root);
    if (at == target_of_.end()) return root;
    root = at->second;
  }
  return root;
}

}  // namespace strandbook
