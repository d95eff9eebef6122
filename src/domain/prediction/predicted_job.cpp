#include "domain/prediction/predicted_job.hpp"

#include <algorithm>
#include <map>
#include <unordered_map>

namespace strandbook {
namespace {

std::optional<ReferenceMethod> method_of(const ScheduledStrand& strand, const JudgeSettings& settings) {
  return strand.method ? strand.method : settings.plan.method;
}

/// Strands that follow one another are mostly alike: the last designs of a strand are tried first.
class Designs {
 public:
  explicit Designs(const PredictionGround& ground) : ground_(ground) {}

  std::uint32_t index_of(const LinkDesign& design) {
    std::vector<std::uint32_t>& held = by_length_[key_of(design)];
    for (const std::uint32_t at : held)
      if (list[at].design == design) return at;
    list.push_back(predict_design(design, ground_));
    held.push_back(static_cast<std::uint32_t>(list.size() - 1));
    return held.back();
  }

  /// A person looks for what is missing in the first row that misses it.
  void name_place(std::uint32_t design, const Place& at) {
    std::optional<Problem>& problem = list[design].problem;
    if (problem && problem->at == Place{}) problem->at = at;
  }

  std::vector<DesignPrediction> list;

 private:
  static double key_of(const LinkDesign& design) {
    const LimitQuestion& q = design.question;
    return q.wavelength.value * 1e6 + (q.length ? q.length->value : -1) +
           1e-3 * (q.connections.value_or(0) + 40 * q.splices.value_or(0));
  }
  const PredictionGround& ground_;
  std::unordered_map<double, std::vector<std::uint32_t>> by_length_;
};

/// The worse of two designs of a strand or link: what cannot be predicted is worst.
bool worse_than(const DesignPrediction& a, const DesignPrediction& b) {
  if (a.predicted() != b.predicted()) return !a.predicted();
  return a.accepted < b.accepted;
}

class JobPredictor {
 public:
  explicit JobPredictor(const PredictionGround& ground) : ground_(ground), designs_(ground) {}

  Result<JobPrediction> all() {
    for (std::uint32_t i = 0; i < ground_.schedule.size(); ++i)
      if (const Result<Done> done = add_strand(i); !done) return done.problem();
    job_.designs = std::move(designs_.list);
    count();
    rank_links();
    return std::move(job_);
  }

 private:
  Result<Done> add_strand(std::uint32_t index) {
    const ScheduledStrand& strand = ground_.schedule[index];
    const Result<StrandPlan> plan = plan_of(strand, ground_.rulebook, ground_.settings.plan);
    if (!plan) return plan.problem();
    LinkPrediction& link = link_of(strand);
    ++link.strands;
    const int directions = plan->directions == DirectionDemand::both ? 2 : 1;
    link.passes += static_cast<std::uint32_t>(directions);
    std::vector<Nanometres> wavelengths = plan->wavelengths;
    if (wavelengths.empty()) wavelengths.push_back({0});
    const auto fixed = strand.fixed_limit ? strand.fixed_limit : ground_.settings.plan.fixed_limit;
    for (const Nanometres wavelength : wavelengths) {
      LimitQuestion question =
          question_of(strand, wavelength, ground_.settings.plan, method_of(strand, ground_.settings));
      if (!strand.doubt.empty()) question.connections.reset();  // a row read in part has no limit either
      const std::uint32_t design = designs_.index_of({question, plan->rule, fixed, {}});
      designs_.name_place(design, strand.at);
      job_.tests.push_back({index, design, wavelength, directions});
      link.tests += static_cast<std::size_t>(directions);
      if (std::find(link.designs.begin(), link.designs.end(), design) == link.designs.end())
        link.designs.push_back(design);
    }
    return Done{};
  }

  LinkPrediction& link_of(const ScheduledStrand& strand) {
    const std::string& name = link_name(strand);
    const auto [at, fresh] = links_.try_emplace(name, job_.links.size());
    if (fresh) {
      job_.links.emplace_back();
      job_.links.back().link = name;
    }
    return job_.links[at->second];
  }

  /// The tests of a strand share its connections, so it fails about as often as the worst of them.
  void count() {
    std::map<std::uint32_t, std::size_t> strands;
    for (std::size_t first = 0; first < job_.tests.size();) {
      const std::uint32_t strand = job_.tests[first].strand;
      std::uint32_t worst = job_.tests[first].design;
      std::size_t last = first;
      for (; last < job_.tests.size() && job_.tests[last].strand == strand; ++last) {
        const PredictedTest& test = job_.tests[last];
        const DesignPrediction& design = job_.designs[test.design];
        const auto directions = static_cast<std::size_t>(test.directions);
        job_.planned += directions;
        if (design.predicted())
          job_.expected_failing_tests += test.directions * (1 - design.accepted);
        else
          job_.not_predicted += directions;
        if (worse_than(design, job_.designs[worst])) worst = test.design;
      }
      settle_strand(strand, worst, strands);
      first = last;
    }
    std::vector<AlikeGroup> groups;
    groups.reserve(strands.size());
    for (const auto& [design, n] : strands) groups.push_back(alike(job_.designs[design], n));
    job_.failures = failures_among(groups);
  }

  void settle_strand(std::uint32_t strand, std::uint32_t worst,
                     std::map<std::uint32_t, std::size_t>& counts) {
    const DesignPrediction& design = job_.designs[worst];
    if (!design.predicted()) return;
    link_of(ground_.schedule[strand]).expected_failures += 1 - design.accepted;
    ++counts[worst];
  }

  static AlikeGroup alike(const DesignPrediction& design, std::size_t count) {
    return {count, design.loss->own, design.loss->shared.value, design.accepted_up_to.value};
  }

  void rank_links() {
    for (LinkPrediction& link : job_.links)
      link.worst = *std::min_element(
          link.designs.begin(), link.designs.end(),
          [this](std::uint32_t a, std::uint32_t b) { return worse_than(job_.designs[a], job_.designs[b]); });
    std::stable_sort(job_.links.begin(), job_.links.end(),
                     [this](const LinkPrediction& a, const LinkPrediction& b) {
                       return worse_than(job_.designs[a.worst], job_.designs[b.worst]);
                     });
  }

  const PredictionGround& ground_;
  Designs designs_;
  JobPrediction job_;
  std::unordered_map<std::string, std::size_t> links_;
};

}  // namespace

DesignPrediction predict_design(const LinkDesign& design, const PredictionGround& ground) {
  DesignPrediction prediction;
  prediction.design = design;
  Result<PredictedLoss> loss = predict_loss(design, ground.parts, ground.settings.uncertainty);
  if (loss)
    prediction.loss = std::move(*loss);
  else
    prediction.problem = loss.problem();
  Result<Limit> limit = limit_of(design);
  if (limit)
    prediction.limit = std::move(*limit);
  else if (!prediction.problem)
    prediction.problem = limit.problem();
  if (!prediction.predicted()) return prediction;
  const Cumulants& total = prediction.loss->total;
  const bool guarded = ground.settings.guard == GuardBand::expanded_uncertainty;
  const bool refused = ground.conditional_pass == Acceptance::refused;
  const Decibels most = prediction.limit->value;
  const Decibels guard = guarded ? 2 * prediction.loss->uncertainty : Decibels{0};
  prediction.within = 1 - upper_tail(total, most.value);
  prediction.clear = 1 - upper_tail(total, (most - guard).value);
  prediction.accepted = refused ? prediction.clear : prediction.within;
  prediction.accepted_up_to = refused ? most - guard : most;
  return prediction;
}

Result<JobPrediction> predict_job(const PredictionGround& ground) { return JobPredictor(ground).all(); }

}  // namespace strandbook
