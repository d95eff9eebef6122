#include <functional>

#include "domain/verdict/strand_judge.hpp"

namespace strandbook {
namespace {

template <class T>
void mix(std::size_t& seed, const T& value) {
  seed ^= std::hash<T>{}(value) + 0x9e3779b97f4a7c15ULL + (seed << 6) + (seed >> 2);
}

template <class T>
int number_of(const std::optional<T>& choice) {
  return choice ? static_cast<int>(*choice) : -1;
}

}  // namespace

std::size_t StrandJudge::LimitKeyHash::operator()(const LimitKey& key) const {
  const LimitQuestion& q = key.question;
  std::size_t seed = 0;
  mix(seed, q.length ? q.length->value : -1);
  mix(seed, q.wavelength.value);
  mix(seed, key.fixed_db);
  mix(seed, static_cast<const void*>(key.rule));
  for (const int choice :
       {number_of(q.fibre), static_cast<int>(q.plant), number_of(q.connections), number_of(q.splices),
        number_of(q.method), number_of(q.cords), number_of(q.configuration)})
    mix(seed, choice);
  return seed;
}

StrandJudge::LimitIndex StrandJudge::work_out(const LimitKey& key) {
  const auto problem = [this](Problem why) {
    why.at = strand_->at;
    limit_problems.push_back(std::move(why));
    return LimitIndex{nothing, static_cast<std::uint32_t>(limit_problems.size() - 1)};
  };
  if (key.rule == nullptr)
    return problem(
        {{}, "no rule and no limit", "a rule or limit_db", "Name a rule with --rule or in the schedule."});
  Result<Limit> limit = limit_of(*key.rule, key.question);
  if (!limit) return problem(limit.problem());
  limits.push_back(std::move(*limit));
  return {static_cast<std::uint32_t>(limits.size() - 1), nothing};
}

StrandJudge::LimitIndex StrandJudge::limit_for(const StrandPlan& plan, Nanometres wavelength,
                                               std::optional<ReferenceMethod> method) {
  if (!strand_->doubt.empty()) {
    limit_problems.push_back({{},
                              "a row of the schedule that could not be read whole",
                              "every cell of it readable",
                              strand_->doubt});
    return {nothing, static_cast<std::uint32_t>(limit_problems.size() - 1)};
  }
  const auto fixed = strand_->fixed_limit ? strand_->fixed_limit : context_.settings.plan.fixed_limit;
  LimitKey key;
  if (fixed)
    key.fixed_db = fixed->value;
  else
    key = {question_of(*strand_, wavelength, context_.settings.plan, method), plan.rule, 0};
  const auto known = known_limits_.find(key);
  if (known != known_limits_.end()) return known->second;
  LimitIndex index;
  if (fixed) {
    limits.push_back(
        fixed_limit(*fixed, {strand_->fixed_limit ? "schedule" : "job", "", "limit_db", Standing::own, ""}));
    index.limit = static_cast<std::uint32_t>(limits.size() - 1);
  } else {
    index = work_out(key);
  }
  known_limits_.emplace(key, index);
  return index;
}

}  // namespace strandbook
