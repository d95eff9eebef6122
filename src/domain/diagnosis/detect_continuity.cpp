#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/diagnosis/sentence.hpp"
#include "domain/verdict/strand_tests.hpp"

namespace strandbook {
namespace {

struct LinkLight {
  std::vector<std::uint32_t> straight;
  std::vector<std::uint32_t> crossed;
  std::vector<std::uint32_t> dark;
};

/// "05 \u2192 06, 06 \u2192 05 and 2 more"
std::string crossings(const Assessment& all, const std::vector<std::uint32_t>& strands) {
  constexpr std::size_t most = 4;
  std::string text;
  for (std::size_t i = 0; i < std::min(most, strands.size()); ++i)
    text += fmt::format("{}{} \u2192 {}", i == 0 ? "" : ", ", all.schedule[strands[i]].strand,
                        all.schedule[all.continuity.strands[strands[i]].out_of].strand);
  if (strands.size() > most) text += fmt::format(" and {} more", strands.size() - most);
  return text;
}

Picture light_in_and_out(const Assessment& all, const LinkLight& link) {
  Picture picture;
  picture.kind = Picture::Kind::pairs;
  picture.x_name = "light in, strand";
  picture.y_name = "light out, strand";
  std::vector<std::uint32_t> strands = link.crossed;
  strands.insert(strands.end(), link.straight.begin(), link.straight.end());
  const std::uint32_t first = *std::min_element(strands.begin(), strands.end());
  for (std::size_t i = 0; i < std::min(strands.size(), Picture::most_points); ++i) {
    const double in = static_cast<double>(strands[i]) - first + 1;
    const double out = static_cast<double>(all.continuity.strands[strands[i]].out_of) - first + 1;
    picture.points.push_back({in, out, strands[i] != all.continuity.strands[strands[i]].out_of});
  }
  return picture;
}

void tell_crossed(const Assessment& all, const std::string& name, const LinkLight& link, Suspects& out) {
  if (link.crossed.empty()) return;
  Finding finding;
  finding.kind = "light-crossed";
  finding.weight = Weight::stop;
  finding.about = name;
  finding.summary = fmt::format(
      "{} of {}: light comes out of another strand ({}). They fail whatever their loss; {} straight, {} "
      "dark.",
      counted_words(link.crossed.size(), "strand", "strands"), name, crossings(all, link.crossed),
      link.straight.size(), link.dark.size());
  finding.evidence = {{"straight", static_cast<double>(link.straight.size())},
                      {"crossed", static_cast<double>(link.crossed.size())},
                      {"dark", static_cast<double>(link.dark.size())}};
  finding.advice =
      "Put them right at the end where splice order or duplex clip is wrong, send light through again, then "
      "repeat the readings: it is not known which strand each of them belongs to.";
  finding.caution = live_port_caution;
  finding.picture = light_in_and_out(all, link);
  finding.tests = all_tests_of(all, link.crossed);
  out.facts.push_back(std::move(finding));
}

void tell_dark(const Assessment& all, const std::string& name, const LinkLight& link, Suspects& out) {
  if (link.dark.empty()) return;
  Finding finding;
  finding.kind = "light-lost";
  finding.weight = Weight::stop;
  finding.about = name;
  finding.summary =
      fmt::format("{} of {}: light comes out nowhere ({}). Open, or not connected.",
                  counted_words(link.dark.size(), "strand", "strands"), name, strands_named(all, link.dark));
  finding.evidence = {{"straight", static_cast<double>(link.straight.size())},
                      {"crossed", static_cast<double>(link.crossed.size())},
                      {"dark", static_cast<double>(link.dark.size())}};
  finding.advice =
      "Find the break with visible light or a trace from both ends, mend it, send light through again.";
  finding.caution = live_port_caution;
  finding.tests = all_tests_of(all, link.dark);
  out.facts.push_back(std::move(finding));
}

}  // namespace

void detect_continuity(const Assessment& all, Suspects& out) {
  std::map<std::string, LinkLight> links;
  for (std::uint32_t strand = 0; strand < all.continuity.strands.size(); ++strand) {
    const Continuity state = all.continuity.strands[strand].state;
    if (state == Continuity::not_tried) continue;
    LinkLight& link = links[link_name(all.schedule[strand])];
    if (state == Continuity::straight) link.straight.push_back(strand);
    if (state == Continuity::crossed) link.crossed.push_back(strand);
    if (state == Continuity::dark) link.dark.push_back(strand);
  }
  for (const auto& [name, link] : links) {
    tell_crossed(all, name, link, out);
    tell_dark(all, name, link, out);
  }
}

}  // namespace strandbook
