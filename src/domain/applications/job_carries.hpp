#pragma once
// What the links of a judged job will carry: strands grouped as an application uses them, the worst of each
// group held against the tables.

#include <array>
#include <memory>
#include <string>
#include <vector>

#include "domain/applications/carry_working.hpp"
#include "domain/verdict/assessment.hpp"

namespace strandbook {

/// The worst valid loss of every strand at every wavelength read.
class StrandLosses {
 public:
  explicit StrandLosses(const Assessment& assessment);
  std::span<const MeasuredLoss> of(std::uint32_t strand) const {
    return std::span(losses_).subspan(first_[strand], first_[strand + 1] - first_[strand]);
  }

 private:
  std::vector<MeasuredLoss> losses_;
  std::vector<std::uint32_t> first_;
};

/// Strands of one link that an application would use together.
struct StrandGroup {
  std::vector<std::uint32_t> strands;  ///< indices into Assessment::schedule
};

/// The link's strands in the order of the schedule: singly, in pairs, or in arrays of as many positions as
/// the application's connector has where the link's strands make whole arrays; what is left over makes no
/// group. Of twelve positions with eight strands in use these are 1 to 4 and 9 to 12.
std::vector<StrandGroup> groups_of(std::span<const std::uint32_t> link, const Application& application);

/// A group as one channel. Its spans view `losses`, which is filled anew.
MeasuredChannel channel_of(const Assessment& assessment, const StrandLosses& strands,
                           const StrandGroup& group, std::vector<MeasuredLoss>& losses);

/// One application's answer for one link, by one body's table.
struct LinkAnswer {
  std::uint32_t row = 0;                  ///< the row that holds, the most favourable of those that do
  std::array<std::uint32_t, 4> groups{};  ///< how many groups, indexed by Carries
  CarryOutcome outcome;                   ///< of the worst group
  StrandGroup group;                      ///< likewise
};

/// Links of the schedule, each with its strands, in order of first appearance.
struct JobLinks {
  std::vector<std::string> names;
  std::vector<std::vector<std::uint32_t>> strands;
};
JobLinks links_of(const Schedule& schedule);

/// The group that an answer rests on as a channel, for its working.
struct AnsweredChannel {
  MeasuredChannel channel;
  std::vector<MeasuredLoss> losses;
  ChannelParts parts;
};
/// What a clean connection costs on average.
struct CleanConnections {
  Decibels multimode;
  Decibels single_mode;
};

/// What the answers about a job rest on.
struct CarryGround {
  const Assessment& assessment;
  const StrandLosses& losses;
  const ApplicationTable& rows;
  CleanConnections clean;
};

/// Every application whose table has a row for the link's fibre, or those named. Empty where the fibre's
/// category is not known.
std::vector<LinkAnswer> answers_for(const CarryGround& ground, std::span<const std::uint32_t> link,
                                    const CarryTable& table, std::span<const std::string> names = {});

/// `channel` views `losses` of the same object: it is not to be copied.
std::unique_ptr<AnsweredChannel> channel_behind(const CarryGround& ground, const LinkAnswer& answer);

}  // namespace strandbook
