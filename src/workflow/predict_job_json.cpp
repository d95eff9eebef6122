#include <algorithm>
#include <cmath>

#include "edge/exchange/check_json.hpp"
#include "workflow/predict_job.hpp"

namespace strandbook {
namespace {

void append_predicted_part(std::string& out, const PredictedPart& part) {
  JsonMembers members(out);
  members.text("term", part.term);
  members.number("count", part.count);
  members.number("each_db", part.each.value);
  members.number("mean_db", part.mean.value);
  members.number("deviation_db", part.deviation.value);
  members.text("source", describe(part.source));
  members.end();
}

void append_loss_members(JsonMembers& members, std::string& out, const PredictedLoss& loss) {
  members.number("expected_db", loss.total.mean);
  members.number("deviation_db", std::sqrt(loss.total.variance));
  members.number("shared_db", loss.shared.value);
  members.number("uncertainty_db", loss.uncertainty.value);
  members.number("median_db", quantile(loss.total, 0.5));
  members.number("quantile_95_db", quantile(loss.total, 0.95));
  members.number("quantile_99_db", quantile(loss.total, 0.99));
  members.name("parts");
  append_json_list(out, loss.parts, [&](const PredictedPart& part) { append_predicted_part(out, part); });
}

void append_why(std::string& out, const Problem& problem) {
  JsonMembers members(out);
  members.maybe_text("found", problem.found);
  members.text("expected", problem.wanted);
  members.maybe_text("advice", problem.advice);
  members.end();
}

void append_design_members(JsonMembers& members, std::string& out, const DesignPrediction& design) {
  const LimitQuestion& question = design.design.question;
  members.number("wavelength_nm", question.wavelength.value);
  members.choice("fibre", question.fibre);
  members.quantity("length_m", question.length);
  members.maybe_number("connections", question.connections);
  members.maybe_number("splices", question.splices);
  if (design.limit)
    members.number("limit_db", design.limit->value.value);
  else
    members.raw("limit_db", "null");
  members.name("problem");
  if (design.problem)
    append_why(out, *design.problem);
  else
    out += "null";
  if (design.predicted()) {
    members.number("within", design.within);
    members.number("clear", design.clear);
    members.number("accepted", design.accepted);
    members.number("accepted_up_to_db", design.accepted_up_to.value);
  }
  if (!design.loss) return;
  append_loss_members(members, out, *design.loss);
  members.name("notes");
  append_texts(out, design.loss->notes);
}

/// Points from the 0.1 % to the 99.9 % quantile; the highest density is 1.
void append_curve(std::string& out, const Cumulants& total) {
  constexpr std::size_t points = 48;
  const double low = quantile(total, 0.001);
  const double high = quantile(total, 0.999);
  std::vector<std::pair<double, double>> curve;
  double most = 0;
  for (std::size_t i = 0; i <= points; ++i) {
    const double loss = low + (high - low) * static_cast<double>(i) / points;
    curve.emplace_back(loss, density(total, loss));
    most = std::max(most, curve.back().second);
  }
  append_json_list(out, curve, [&](const std::pair<double, double>& point) {
    JsonMembers members(out);
    members.number("loss_db", point.first);
    members.number("density", most > 0 ? point.second / most : 0);
    members.end();
  });
}

void append_link_members(JsonMembers& members, const LinkPrediction& link, const TestTimes& times) {
  members.text("link", link.link);
  members.count("strands", link.strands);
  members.count("tests", link.tests);
  members.number("expected_failures", link.expected_failures);
  members.number("minutes", minutes_at(link, times));
}

void append_mend(std::string& out, const Mend& mend) {
  JsonMembers members(out);
  members.text("kind", text_of(mend.kind));
  members.number("accepted", mend.accepted);
  members.text("words", mend.words);
  members.end();
}

void append_warning(std::string& out, const PredictionWarning& warning, const JobPrediction& job) {
  JsonMembers members(out);
  members.text("link", job.links[warning.link].link);
  members.truth("hopeless", warning.hopeless);
  members.text("words", warning.words);
  members.name("mends");
  append_json_list(out, warning.mends, [&](const Mend& mend) { append_mend(out, mend); });
  members.end();
}

void append_crew(std::string& out, const CrewShare& crew, const JobPrediction& job) {
  JsonMembers members(out);
  members.count("tests", crew.tests);
  members.count("references", crew.sessions);
  members.number("minutes", crew.all_minutes);
  members.number("days", crew.days);
  members.name("links");
  append_json_list(out, crew.links, [&](std::uint32_t link) { append_json_text(out, job.links[link].link); });
  members.end();
}

void append_time(std::string& out, const Sourced<double>& time) {
  JsonMembers members(out);
  members.number("value", time.value);
  members.text("source", describe(time.source));
  members.end();
}

void append_plan(std::string& out, const PredictedWork& work) {
  const TestTimes& times = work.parts.times;
  JsonMembers members(out);
  members.number("minutes", work.crews.minutes);
  members.number("days", work.crews.days);
  members.number("people_each", times.people.value);
  members.name("crews");
  append_json_list(out, work.crews.crews, [&](const CrewShare& crew) { append_crew(out, crew, work.job); });
  const auto time = [&](const char* key, const Sourced<double>& each) {
    members.name(key);
    append_time(out, each);
  };
  time("link_minutes", times.link_minutes);
  time("strand_minutes", times.strand_minutes);
  time("reading_minutes", times.reading_minutes);
  time("reference_minutes", times.reference_minutes);
  time("session_hours", times.session_hours);
  time("retest_minutes", times.retest_minutes);
  time("day_hours", times.day_hours);
  members.end();
}

void append_head(JsonMembers& members, std::string& out, const PredictedWork& work) {
  const JobPrediction& job = work.job;
  members.number("least_probability", work.least_probability);
  members.text("multimode_grade", work.parts.multimode_grade.value);
  members.text("single_mode_grade", work.parts.single_mode_grade.value);
  members.name("summary");
  JsonMembers summary(out);
  summary.count("planned", job.planned);
  summary.count("not_predicted", job.not_predicted);
  summary.number("expected_failing_tests", job.expected_failing_tests);
  summary.number("expected_failing_strands", job.failures.expected);
  summary.number("deviation", job.failures.deviation);
  summary.count("low", job.failures.low);
  summary.count("high", job.failures.high);
  summary.number("none_probability", job.failures.none);
  summary.end();
  members.name("plan");
  append_plan(out, work);
  members.name("warnings");
  append_json_list(out, work.warnings,
                   [&](const PredictionWarning& each) { append_warning(out, each, job); });
}

}  // namespace

std::string prediction_json(const PredictedWork& work, const Schedule& schedule,
                            const std::vector<Problem>& left) {
  std::string out;
  const JobPrediction& job = work.job;
  JsonMembers members(out);
  members.number("format", 1);
  append_head(members, out, work);
  members.name("links");
  append_json_list(out, job.links, [&](const LinkPrediction& link) {
    JsonMembers each(out);
    append_link_members(each, link, work.parts.times);
    each.count("worst_design", link.worst);
    each.end();
  });
  members.name("designs");
  append_json_list(out, job.designs, [&](const DesignPrediction& design) {
    JsonMembers each(out);
    append_design_members(each, out, design);
    each.end();
  });
  members.name("tests");
  append_json_list(out, job.tests, [&](const PredictedTest& test) {
    JsonMembers each(out);
    each.text("link", link_name(schedule[test.strand]));
    each.text("strand", schedule[test.strand].strand);
    each.number("wavelength_nm", test.wavelength.value);
    each.count("directions", static_cast<std::size_t>(test.directions));
    each.count("design", test.design);
    each.end();
  });
  finish_check(out, members, {left, {}});
  return out;
}

std::string prediction_view_json(const PredictedWork& work, std::size_t most_links) {
  std::string out;
  const JobPrediction& job = work.job;
  JsonMembers members(out);
  append_head(members, out, work);
  members.count("total", job.links.size());
  members.name("links");
  const std::vector<LinkPrediction> shown(
      job.links.begin(),
      job.links.begin() + static_cast<std::ptrdiff_t>(std::min(most_links, job.links.size())));
  append_json_list(out, shown, [&](const LinkPrediction& link) {
    const DesignPrediction& worst = job.designs[link.worst];
    JsonMembers each(out);
    append_link_members(each, link, work.parts.times);
    each.name("worst");
    JsonMembers design(out);
    append_design_members(design, out, worst);
    design.name("curve");
    if (worst.loss)
      append_curve(out, worst.loss->total);
    else
      out += "[]";
    design.end();
    each.end();
  });
  members.end();
  return out;
}

}  // namespace strandbook
