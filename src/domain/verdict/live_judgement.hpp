#pragma once
// A judged job that takes further readings one by one, each at the cost of its own strand.

#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "domain/verdict/judge.hpp"
#include "domain/verdict/match.hpp"
#include "domain/verdict/strand_judge.hpp"

namespace strandbook {

/// Which tests are other than before.
struct JudgementChange {
  std::vector<std::uint32_t> strands;  ///< judged anew by themselves
  bool whole = false;                  ///< the whole job was judged anew: any test may differ or have moved
};

/// After any run of changes its tests are those that `judge` gives for the same rows at once.
class LiveJudgement {
 public:
  /// The rulebook must outlive it.
  static Result<std::unique_ptr<LiveJudgement>> begin(JobInput input, const Rulebook& rulebook,
                                                      JudgeSettings settings);
  LiveJudgement(const LiveJudgement&) = delete;
  LiveJudgement& operator=(const LiveJudgement&) = delete;

  const Assessment& all() const { return all_; }
  const JudgeSettings& settings() const { return settings_; }
  /// Index of a strand's first test; those of strand s end before first_test(s + 1).
  std::uint32_t first_test(std::uint32_t strand) const { return first_test_[strand]; }
  std::span<const JudgedTest> tests_of(std::uint32_t strand) const;
  /// Index into the schedule by names as it writes them, or no_strand.
  std::uint32_t find(std::string_view link, std::string_view strand) const {
    return index_->find(link, strand);
  }

  // Rows are indices into all().readings.rows and all().references. Texts of a reading are copied.
  Result<JudgementChange> add(const Reading& reading);
  Result<JudgementChange> replace(std::uint32_t row, const Reading& reading);
  /// Takes the row out: later rows move up by one.
  Result<JudgementChange> erase_reading(std::uint32_t row);
  Result<JudgementChange> add(Reference reference);
  Result<JudgementChange> replace(std::uint32_t row, Reference reference);
  Result<JudgementChange> erase_reference(std::uint32_t row);

  /// What a reading by itself would come to if it were recorded now; nothing is kept of it but its limit,
  /// which stands in all().limits. Fails where the strand has no such test.
  Result<JudgedTest> preview(Reading reading);

 private:
  LiveJudgement(const Rulebook& rulebook, JudgeSettings settings)
      : rulebook_(rulebook), settings_(std::move(settings)) {}
  Result<Done> judge_all(JobInput input);
  Result<JudgementChange> judge_again();
  void keep_texts(Reading& reading);
  std::vector<std::uint32_t>& readings_of(std::uint32_t strand);
  Result<JudgementChange> judge_strand(std::uint32_t strand);
  Result<std::vector<JudgedTest>> tests_with(std::uint32_t strand, std::span<const std::uint32_t> readings);
  void gather_limits();
  bool needs_the_batch(std::span<const JudgedTest> tests) const;
  void put(std::uint32_t strand, const std::vector<JudgedTest>& tests);

  const Rulebook& rulebook_;
  JudgeSettings settings_;
  Assessment all_;
  std::vector<std::uint32_t> first_test_;
  std::vector<bool> disproved_;  ///< per reference
  ByStrand groups_;              ///< readings of each strand when the whole was last judged
  std::unordered_map<std::uint32_t, std::vector<std::uint32_t>> changed_groups_;
  std::optional<StrandIndex> index_;
  std::optional<ReferenceFinder> finder_;
  std::unique_ptr<JudgeContext> context_;
  std::unique_ptr<StrandJudge> judge_;
  std::uint32_t limits_before_ = 0;    ///< all_.limits from here on came from judge_
  std::uint32_t problems_before_ = 0;  ///< likewise limit_problems
};

}  // namespace strandbook
