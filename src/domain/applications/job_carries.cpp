#include "domain/applications/job_carries.hpp"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "domain/verdict/strand_tests.hpp"

namespace strandbook {
namespace {

/// The rule's attenuation coefficient of the fibre, as the limit counted it.
std::optional<DecibelsPerKilometre> attenuation_in(const Limit& limit) {
  const LimitTerm* fibre = term_named(limit, "fibre");
  return fibre == nullptr ? std::nullopt : std::optional(DecibelsPerKilometre{fibre->each.value});
}

/// Positions of the connector that the application's parts end in.
std::size_t positions_of(const Application& application) {
  for (const auto& [name, positions] :
       {std::pair{"MPO-12", 12}, {"MPO-16", 16}, {"MPO-24", 24}, {"MPO-32", 32}})
    if (application.connector.starts_with(name)) return static_cast<std::size_t>(positions);
  return static_cast<std::size_t>(std::max(application.strands, 1));
}

/// Which positions of an array carry light.
std::vector<std::size_t> positions_in_use(std::size_t positions, std::size_t strands) {
  std::vector<std::size_t> used;
  const bool outer = positions == 12 && strands == 8;
  for (std::size_t at = 0; at < positions && used.size() < strands; ++at)
    if (!outer || at < 4 || at >= 8) used.push_back(at);
  return used;
}

/// Of several rows of one table the most favourable holds: the least severe, then the one with most reach.
bool better(const CarryOutcome& a, const CarryOutcome& b) {
  if (a.carries != b.carries) return a.carries < b.carries;
  return b.length_margin < a.length_margin;
}

/// The group that the link is judged by: the more severe, then the one with less room in its loss.
bool worse(const CarryOutcome& a, const CarryOutcome& b) {
  if (a.carries != b.carries) return b.carries < a.carries;
  return a.loss_margin < b.loss_margin;
}

/// Splices as the limit of the strand's tests counts them.
Decibels splices_in(const Assessment& assessment, std::uint32_t strand) {
  for (const JudgedTest& test : tests_of(assessment, strand)) {
    if (test.limit == nothing) continue;
    if (const LimitTerm* splices = term_named(assessment.limits[test.limit], "splices"))
      return splices->total;
  }
  return {};
}

}  // namespace

StrandLosses::StrandLosses(const Assessment& assessment) {
  first_.assign(assessment.schedule.size() + 1, 0);
  std::uint32_t strand = 0;
  for (const JudgedTest& test : assessment.tests) {
    while (strand < test.strand) first_[++strand] = static_cast<std::uint32_t>(losses_.size());
    if (!test.judged() || !test.has_loss) continue;
    const bool again = losses_.size() > first_[strand] && losses_.back().wavelength == test.wavelength;
    if (!again) {
      losses_.push_back({test.wavelength, test.loss, test.standard_uncertainty, test.loss, {}});
      if (test.limit != nothing) losses_.back().attenuation = attenuation_in(assessment.limits[test.limit]);
      continue;
    }
    MeasuredLoss& known = losses_.back();
    if (known.loss < test.loss) {
      known.loss = test.loss;
      known.standard_uncertainty = test.standard_uncertainty;
    }
    known.least_loss = std::min(known.least_loss, test.loss);
  }
  while (strand + 1 < first_.size()) first_[++strand] = static_cast<std::uint32_t>(losses_.size());
}

std::vector<StrandGroup> groups_of(std::span<const std::uint32_t> link, const Application& application) {
  const auto strands = static_cast<std::size_t>(std::max(application.strands, 1));
  std::size_t positions = positions_of(application);
  if (positions < strands || link.size() % positions != 0) positions = strands;
  const std::vector<std::size_t> used = positions_in_use(positions, strands);
  std::vector<StrandGroup> groups;
  for (std::size_t first = 0; first + positions <= link.size(); first += positions) {
    StrandGroup group;
    for (const std::size_t at : used) group.strands.push_back(link[first + at]);
    groups.push_back(std::move(group));
  }
  return groups;
}

MeasuredChannel channel_of(const Assessment& assessment, const StrandLosses& strands,
                           const StrandGroup& group, std::vector<MeasuredLoss>& losses) {
  losses.clear();
  MeasuredChannel channel;
  channel.guard = assessment.guard;
  const ScheduledStrand& first = assessment.schedule[group.strands.front()];
  channel.fibre = first.fibre;
  channel.length = first.length;
  for (const MeasuredLoss& each : strands.of(group.strands.front())) losses.push_back(each);
  for (const std::uint32_t strand : std::span(group.strands).subspan(1)) {
    const ScheduledStrand& row = assessment.schedule[strand];
    if (row.fibre != channel.fibre) channel.fibre.reset();
    if (!row.length || !channel.length)
      channel.length.reset();
    else
      channel.length = std::max(*channel.length, *row.length);
    const std::span<const MeasuredLoss> others = strands.of(strand);
    std::erase_if(losses, [&](MeasuredLoss& mine) {
      const auto other = std::find_if(others.begin(), others.end(), [&](const MeasuredLoss& each) {
        return each.wavelength == mine.wavelength;
      });
      if (other == others.end()) return true;  // a lane that was not read leaves the channel unread
      const Decibels least = std::min(mine.least_loss, other->least_loss);
      if (mine.loss < other->loss) mine = *other;
      mine.least_loss = least;
      return false;
    });
  }
  for (const MeasuredLoss& each : losses)
    if (std::abs(each.wavelength.value - 1310) < 0.5) channel.cable_class = each.attenuation;
  channel.losses = losses;
  return channel;
}

JobLinks links_of(const Schedule& schedule) {
  JobLinks links;
  std::unordered_map<std::string_view, std::size_t> known;
  for (std::uint32_t strand = 0; strand < schedule.size(); ++strand) {
    const auto [at, fresh] = known.try_emplace(link_name(schedule[strand]), links.names.size());
    if (fresh) {
      links.names.push_back(link_name(schedule[strand]));
      links.strands.emplace_back();
    }
    links.strands[at->second].push_back(strand);
  }
  return links;
}

std::vector<LinkAnswer> answers_for(const CarryGround& ground, std::span<const std::uint32_t> link,
                                    const CarryTable& table, std::span<const std::string> names) {
  std::vector<LinkAnswer> answers;
  std::vector<MeasuredLoss> scratch;
  for (const std::vector<std::uint32_t>& family :
       table.families_for(ground.assessment.schedule[link.front()].fibre)) {
    const Application& application = ground.rows[family.front()];
    if (!names.empty() && std::find(names.begin(), names.end(), application.name) == names.end()) continue;
    std::optional<LinkAnswer> answer;
    for (StrandGroup& group : groups_of(link, application)) {
      const MeasuredChannel channel = channel_of(ground.assessment, ground.losses, group, scratch);
      std::optional<std::pair<CarryOutcome, std::uint32_t>> best;
      for (const std::uint32_t row : family) {
        const CarryOutcome outcome = table.judge(row, channel);
        if (!best || better(outcome, best->first)) best = {outcome, row};
      }
      if (!answer) answer.emplace();
      ++answer->groups[static_cast<std::size_t>(best->first.carries)];
      if (!answer->group.strands.empty() && !worse(best->first, answer->outcome)) continue;
      answer->outcome = best->first;
      answer->row = best->second;
      answer->group = std::move(group);
    }
    if (answer) answers.push_back(std::move(*answer));
  }
  return answers;
}

std::unique_ptr<AnsweredChannel> channel_behind(const CarryGround& ground, const LinkAnswer& answer) {
  auto behind = std::make_unique<AnsweredChannel>();
  behind->channel = channel_of(ground.assessment, ground.losses, answer.group, behind->losses);
  const std::uint32_t strand = answer.group.strands.front();
  const ScheduledStrand& row = ground.assessment.schedule[strand];
  behind->parts.connections = row.connections;
  behind->parts.splices = splices_in(ground.assessment, strand);
  const bool multimode = row.fibre && mode_of(*row.fibre) == FibreMode::multimode;
  behind->parts.clean_connection = multimode ? ground.clean.multimode : ground.clean.single_mode;
  return behind;
}

}  // namespace strandbook
