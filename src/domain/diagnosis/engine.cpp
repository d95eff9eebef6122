#include "domain/diagnosis/engine.hpp"

#include <algorithm>
#include <thread>
#include <unordered_map>

#include "domain/diagnosis/job_detectors.hpp"
#include "domain/diagnosis/next_steps.hpp"
#include "domain/diagnosis/settle.hpp"
#include "domain/verdict/match.hpp"

namespace strandbook {
namespace {

constexpr std::uint32_t blocks_per_part = 16;

}  // namespace

struct FindingEngine::Inside {
  FindingSettings settings;
  std::optional<BlockLayout> layout;
  std::vector<BlockFacts> facts;
  ByStrand by_strand;  ///< readings at the last whole look
  std::unordered_map<std::uint32_t, std::vector<std::uint32_t>>
      later;  ///< all readings of strands that got more
  std::size_t readings_known = 0;
  SessionSeries series;
  std::map<SeriesKey, Suspects> of_series;
  JobIndex index;
  std::vector<bool> closed;  ///< per reference
  ComparisonMemory memory;
  Suspects continuity;  ///< what light paths tell: they come in with a whole look only
  std::vector<Finding> findings;

  void start(const Assessment& all);
  std::span<const std::uint32_t> readings_of(std::uint32_t strand) const;
  void take_new_readings(const Assessment& all);
  void examine_all_blocks(const Assessment& all);
  void look_at_series(const Assessment& all, const SeriesKey& key);
  void rebuild_series(const Assessment& all);
  void replace_entries(const Assessment& all, std::uint32_t block, const SessionFacts& before);
  void assemble(const Assessment& all);
};

std::span<const std::uint32_t> FindingEngine::Inside::readings_of(std::uint32_t strand) const {
  const auto more = later.find(strand);
  if (more != later.end()) return more->second;
  return std::span(by_strand.order)
      .subspan(by_strand.starts[strand], by_strand.starts[strand + 1] - by_strand.starts[strand]);
}

void FindingEngine::Inside::start(const Assessment& all) {
  layout.emplace(all);
  by_strand = group_by_strand(all.strand_of, all.schedule.size());
  later.clear();
  readings_known = all.readings.rows.size();
  facts.assign(layout->blocks().size(), {});
  examine_all_blocks(all);
  index = {};
  for (std::uint32_t i = 0; i < facts.size(); ++i) index.add(facts[i], i);
  const ReferenceFinder finder(all.references, settings.references);
  closed.assign(all.references.size(), false);
  for (std::uint32_t i = 0; i < all.references.size(); ++i) closed[i] = finder.change_of(i).has_value();
  rebuild_series(all);
  continuity = {};
  detect_continuity(all, continuity);
}

void FindingEngine::Inside::take_new_readings(const Assessment& all) {
  for (; readings_known < all.readings.rows.size(); ++readings_known) {
    const std::uint32_t strand = all.strand_of[readings_known];
    if (strand == no_strand) continue;
    const auto [at, fresh] = later.try_emplace(strand);
    if (fresh) {
      const auto first = by_strand.order.begin();
      at->second.assign(first + by_strand.starts[strand], first + by_strand.starts[strand + 1]);
    }
    at->second.push_back(static_cast<std::uint32_t>(readings_known));
  }
}

void FindingEngine::Inside::examine_all_blocks(const Assessment& all) {
  const auto& blocks = layout->blocks();
  const auto work = [&](std::size_t from, std::size_t step) {
    for (std::size_t i = from; i < blocks.size(); i += step)
      facts[i] = examine_block(all, settings.practice, blocks[i], static_cast<std::uint32_t>(i),
                               [this](std::uint32_t strand) { return readings_of(strand); });
  };
  constexpr std::size_t worth_a_thread = 32;
  const std::size_t workers = blocks.size() < worth_a_thread ? 1 : std::max(1U, settings.workers);
  std::vector<std::thread> threads;
  for (std::size_t i = 1; i < workers; ++i) threads.emplace_back(work, i, workers);
  work(0, workers);
  for (std::thread& thread : threads) thread.join();
}

void FindingEngine::Inside::rebuild_series(const Assessment& all) {
  series.clear();
  of_series.clear();
  for (const BlockFacts& block : facts)
    for (const auto& [session, entry] : block.sessions.entries)
      series[{session, entry.block / blocks_per_part}].push_back(entry);
  for (auto& [key, entries] : series) {
    std::sort(entries.begin(), entries.end());
    look_at_series(all, key);
  }
}

void FindingEngine::Inside::look_at_series(const Assessment& all, const SeriesKey& key) {
  const auto at = series.find(key);
  if (at == series.end() || at->second.empty()) {
    if (at != series.end()) series.erase(at);
    of_series.erase(key);
    return;
  }
  Suspects found;
  detect_shift(all, settings.practice, at->second, found);
  detect_pace(all, settings.practice, at->second, found);
  of_series[key] = std::move(found);
}

/// Takes the block's old values out of its series and puts the new ones in, keeping the order.
void FindingEngine::Inside::replace_entries(const Assessment& all, std::uint32_t block,
                                            const SessionFacts& before) {
  std::map<SeriesKey, std::vector<SessionEntry>> fresh;
  for (const auto& [session, entry] : before.entries) fresh[{session, block / blocks_per_part}];
  for (const auto& [session, entry] : facts[block].sessions.entries)
    fresh[{session, block / blocks_per_part}].push_back(entry);
  for (auto& [key, entries] : fresh) {
    std::vector<SessionEntry>& held = series[key];
    std::erase_if(held, [block](const SessionEntry& entry) { return entry.block == block; });
    std::sort(entries.begin(), entries.end());
    const auto middle = static_cast<std::ptrdiff_t>(held.size());
    held.insert(held.end(), entries.begin(), entries.end());
    std::inplace_merge(held.begin(), held.begin() + middle, held.end());
    look_at_series(all, key);
  }
}

void FindingEngine::Inside::assemble(const Assessment& all) {
  Suspects job;
  ByReason by_reason;
  std::vector<std::uint32_t> repeated;
  std::vector<FileLosses> files;
  std::vector<InstrumentUse> uses;
  SessionEvidence evidence;
  evidence.series = &series;
  evidence.closed = &closed;
  evidence.memory = &memory;
  for (const BlockFacts& block : facts) {
    for (std::size_t i = 0; i < reasons; ++i)
      by_reason[i].insert(by_reason[i].end(), block.by_reason[i].begin(), block.by_reason[i].end());
    repeated.insert(repeated.end(), block.repeated.begin(), block.repeated.end());
    add_files(files, block.files);
    add_uses(uses, block.instruments);
    for (const LevelCell& cell : block.sessions.levels) evidence.levels.push_back(&cell);
    for (const PairCell& cell : block.sessions.pairs) evidence.pairs.push_back(&cell);
  }
  detect_reasons(all, by_reason, settings.references, job);
  detect_file_habits(all, by_reason, files, job);
  detect_names(all, job);
  detect_repeats(repeated, job);
  detect_calibration(all, settings.practice, uses, job);
  job.facts.insert(job.facts.end(), continuity.facts.begin(), continuity.facts.end());
  detect_traces(all, settings.traces, job);
  detect_copies(all, index.doubled(), job);
  detect_shared_cause(index, facts, job);
  detect_offsets(all, settings.practice, evidence, job);
  detect_unproven(all, settings.practice, evidence, job);
  std::vector<const Suspects*> every{&job};
  for (const BlockFacts& block : facts) every.push_back(&block.suspects);
  for (const auto& [key, suspects] : of_series) every.push_back(&suspects);
  findings = settled_findings(every, settings.practice);
}

FindingEngine::FindingEngine(FindingSettings settings) : inside_(std::make_unique<Inside>()) {
  inside_->settings = std::move(settings);
}
FindingEngine::~FindingEngine() = default;

void FindingEngine::examine(const Assessment& all) {
  inside_->start(all);
  inside_->assemble(all);
}

void FindingEngine::examine(const Assessment& all, std::span<const std::uint32_t> strands) {
  Inside& in = *inside_;
  in.take_new_readings(all);
  std::vector<std::uint32_t> blocks;
  for (const std::uint32_t strand : strands) blocks.push_back(in.layout->block_of(strand));
  std::sort(blocks.begin(), blocks.end());
  blocks.erase(std::unique(blocks.begin(), blocks.end()), blocks.end());
  for (const std::uint32_t block : blocks) {
    const BlockFacts before = std::move(in.facts[block]);
    in.index.take_away(before, block);
    in.facts[block] = examine_block(all, in.settings.practice, in.layout->blocks()[block], block,
                                    [&in](std::uint32_t strand) { return in.readings_of(strand); });
    in.index.add(in.facts[block], block);
    in.replace_entries(all, block, before.sessions);
  }
  in.assemble(all);
}

const std::vector<Finding>& FindingEngine::findings() const { return inside_->findings; }

}  // namespace strandbook
