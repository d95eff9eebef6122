#include "domain/verdict/continuity.hpp"

#include <map>
#include <optional>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

enum class Side : std::uint8_t { a, b, either };

struct Port {
  std::uint32_t strand = no_strand;  ///< no_strand: several strands have it
  Side side = Side::either;
};

/// Names of ports and strands. A port at either side of one strand names the strand.
class Ports {
 public:
  explicit Ports(const Schedule& schedule) {
    for (std::uint32_t i = 0; i < schedule.size(); ++i) {
      add(schedule[i].end_a, {i, Side::a});
      add(schedule[i].end_b, {i, Side::b});
      add(name_of(schedule[i]), {i, Side::either});
      if (!link_name(schedule[i]).empty()) add(schedule[i].strand, {i, Side::either});
    }
  }
  std::optional<Port> find(std::string_view name) const {
    const auto at = ports_.find(tidy_name(name));
    if (at == ports_.end() || at->second.strand == no_strand) return std::nullopt;
    return at->second;
  }

 private:
  void add(std::string_view name, const Port& port) {
    if (name.empty()) return;
    const auto [at, fresh] = ports_.try_emplace(tidy_name(name), port);
    if (fresh) return;
    if (at->second.strand != port.strand) at->second.strand = no_strand;
    at->second.side = Side::either;
  }
  std::unordered_map<std::string, Port> ports_;
};

bool is_later(const LightPath& path, const LightPath& than) {
  if (!path.time || !than.time) return true;  // the later row
  const auto seconds = seconds_between(*than.time, *path.time);
  return !seconds || *seconds >= 0;
}

}  // namespace

ContinuityMap continuity_of(const Schedule& schedule, const std::vector<LightPath>& paths) {
  ContinuityMap map;
  if (paths.empty()) return map;
  const Ports ports(schedule);
  std::map<std::pair<std::uint32_t, Side>, std::uint32_t> latest;
  for (std::uint32_t row = 0; row < paths.size(); ++row) {
    const auto in = ports.find(paths[row].in);
    if (!in || (!paths[row].out.empty() && !ports.find(paths[row].out))) {
      map.unplaced.push_back(row);
      continue;
    }
    const auto [at, fresh] = latest.try_emplace({in->strand, in->side}, row);
    if (!fresh && is_later(paths[row], paths[at->second])) at->second = row;
  }
  map.strands.resize(schedule.size());
  for (const auto& [tried, row] : latest) {
    StrandContinuity found{Continuity::dark, row, tried.first};
    if (const auto out = ports.find(paths[row].out)) {
      found.state = out->strand == tried.first ? Continuity::straight : Continuity::crossed;
      found.out_of = out->strand;
    }
    StrandContinuity& held = map.strands[tried.first];
    if (held.state < found.state) held = found;
  }
  return map;
}

Problem unplaced_path(const LightPath& path) {
  return {path.at, path.in + " \u2192 " + (path.out.empty() ? "no light" : path.out),
          "two ports of the schedule, each of one strand",
          "Write the ports as the schedule does (end_a, end_b), or name the strands: link/strand."};
}

}  // namespace strandbook
