// Readings that others typed, taken in one by one.

#include <algorithm>
#include <set>

#include "workflow/live_job_inside.hpp"

namespace strandbook {
namespace {

bool ends_with(const std::vector<Uuid>& held, const std::set<Uuid>& last) {
  return last.size() <= held.size() &&
         std::all_of(held.end() - static_cast<std::ptrdiff_t>(last.size()), held.end(),
                     [&](const Uuid& fact) { return last.contains(fact); });
}

}  // namespace

Result<bool> LiveJob::take_newer(std::int64_t version) {
  if (!inside_->judgement) return false;
  const auto newer = newer_readings(*inside_->book.store, inside_->reach, inside_->since);
  if (!newer) return newer.problem();
  if (!*newer) return false;
  std::vector<Uuid>& held = inside_->state.reading_facts;
  const std::vector<TypedReading>& typed = (*newer)->typed;
  // What came while the book was read stands in its state already.
  const std::size_t near = std::min(held.size(), typed.size());
  const std::set<Uuid> known(held.end() - static_cast<std::ptrdiff_t>(near), held.end());
  const auto foreign = [&](const TypedReading& each) { return !known.contains(each.fact); };
  const auto first = std::find_if(typed.begin(), typed.end(), foreign);
  std::set<Uuid> behind;
  for (auto each = first; each != typed.end(); ++each) {
    if (!foreign(*each))
      behind.insert(each->fact);
    else if (!each->entry.empty() && inside_->state.entries.contains(each->entry))
      return false;
  }
  // Those come again, behind the first that is foreign.
  if (!ends_with(held, behind)) return false;

  std::unique_lock lock(inside_->held);
  JudgementChange all;
  const auto put = [&](const Result<JudgementChange>& change) {
    if (!change) return false;
    all.whole = all.whole || change->whole;
    all.strands.insert(all.strands.end(), change->strands.begin(), change->strands.end());
    return true;
  };
  for (std::size_t i = 0; i < behind.size(); ++i) {
    held.pop_back();
    if (!put(inside_->judgement->erase_reading(static_cast<std::uint32_t>(held.size())))) return false;
  }
  for (auto each = first; each != typed.end(); ++each) {
    if (!is_own_name(*inside_->judgement, each->reading)) inside_->names_stale = true;
    held.push_back(each->fact);
    if (!each->entry.empty()) inside_->state.entries.emplace(each->entry, each->fact);
    if (!put(inside_->judgement->add(each->reading))) return false;
  }
  inside_->note(all);
  inside_->reach = (*newer)->reach;
  inside_->since.clear();
  inside_->outside_version = version;
  ++inside_->revision;
  lock.unlock();
  tell(std::move(all));
  return true;
}

}  // namespace strandbook
