#include "workflow/carry_job.hpp"

#include <algorithm>
#include <map>

namespace strandbook {

std::vector<LinkCarries> carry_job(const CarryGround& ground, const CarryTable& table,
                                   const CarryWish& wish) {
  const Schedule& schedule = ground.assessment.schedule;
  const JobLinks links = links_of(schedule);
  std::vector<LinkCarries> result;
  for (std::size_t link = 0; link < links.names.size(); ++link) {
    if (!wish.link.empty() && links.names[link] != wish.link) continue;
    const std::vector<std::uint32_t>& strands = links.strands[link];
    result.push_back({links.names[link], schedule[strands.front()].fibre,
                      answers_for(ground, strands, table, wish.applications)});
  }
  return result;
}

std::vector<ApplicationCount> count_applications(const std::vector<LinkCarries>& links,
                                                 const ApplicationTable& rows) {
  std::map<std::pair<std::string_view, std::string_view>, ApplicationCount> counts;
  for (const LinkCarries& link : links)
    for (const LinkAnswer& answer : link.answers) {
      const Application& row = rows[answer.row];
      ApplicationCount& count =
          counts.try_emplace({row.name, row.table}, ApplicationCount{answer.row, {}}).first->second;
      for (std::size_t i = 0; i < count.groups.size(); ++i) count.groups[i] += answer.groups[i];
    }
  std::vector<ApplicationCount> list;
  list.reserve(counts.size());
  for (const auto& [key, count] : counts) list.push_back(count);
  std::stable_sort(list.begin(), list.end(),
                   [](const ApplicationCount& a, const ApplicationCount& b) { return a.row < b.row; });
  return list;
}

}  // namespace strandbook
