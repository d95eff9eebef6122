// Before the job: what its tests will read, and which designs cannot hold.

#include <charconv>

#include "front/service/api.hpp"
#include "workflow/predict_job.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_predicted_links = 200;
constexpr int most_crews = 100;

/// A whole number of the query from 1 on; nothing where it has none.
Result<std::optional<int>> crews_asked(const std::string& text) {
  if (text.empty()) return std::optional<int>{};
  int crews = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), crews);
  if (error != std::errc{} || end != text.data() + text.size() || crews < 1 || crews > most_crews)
    return Problem{{}, "crews \"" + text + "\"", "a whole number from 1 to 100", ""};
  return std::optional(crews);
}

Result<PredictionWish> prediction_wish(const Request& request) {
  PredictionWish wish;
  const auto crews = crews_asked(query_text(request, "crews"));
  if (!crews) return crews.problem();
  if (*crews) wish.crews = static_cast<std::size_t>(**crews);
  if (const std::string grade = query_text(request, "grade"); !grade.empty()) wish.single_mode_grade = grade;
  if (const std::string grade = query_text(request, "grade_multimode"); !grade.empty())
    wish.multimode_grade = grade;
  return wish;
}

Response predicted(const JobView& view, const PredictionWish& wish) {
  if (view.judgement == nullptr)
    return problem_response(view.problem.value_or(Problem{{}, "no rule", "a rule of the job", ""}), conflict);
  const Result<JobSettings> settings = settled(view.rule_choices, {});
  if (!settings) return problem_response(settings.problem(), conflict);
  const Result<PredictedWork> work =
      predict_schedule(view.schedule, *view.rulebook, view.judgement->settings(), settings->decision, wish);
  if (!work) return problem_response(work.problem(), bad_request);
  return json_response(prediction_view_json(*work, most_predicted_links));
}

}  // namespace

Response get_prediction(Service& service, const Request& request, const Captures& captures) {
  const Result<PredictionWish> wish = prediction_wish(request);
  if (!wish) return problem_response(wish.problem(), bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    std::optional<Response> response;
    job.live->look([&](const JobView& view) { response = predicted(view, *wish); });
    return std::move(*response);
  });
}

}  // namespace strandbook
