// Owners' profiles as a screen lists and shows them.

#include "front/service/api.hpp"
#include "workflow/know_profiles.hpp"
#include "workflow/profile_view.hpp"

namespace strandbook {
namespace {

/// The profile that the job's last choice holds, which may be the person's own.
Result<ProfileFile> held_or_shipped(Service& service, const std::string& job, const std::string& id) {
  std::string text;
  if (const auto served = service.jobs.find(job); served && served->live)
    served->live->look([&](const JobView& view) {
      if (!view.rule_choices.empty()) text = view.rule_choices.back().value.profile_text;
    });
  if (!text.empty()) {
    Result<ProfileFile> held = read_profile_text(text, "profile in the book");
    if (!held || held->profile.id == id) return held;
  }
  return shipped_profile(id);
}

}  // namespace

Response get_profiles(Service&, const Request&, const Captures&) {
  const Result<std::vector<ProfileFile>> known = know_profiles();
  if (!known) return problem_response(known.problem(), conflict);
  std::string out;
  append_json_list(out, *known, [&](const ProfileFile& file) { out += profile_line_json(file.profile); });
  return json_response(std::move(out));
}

Response get_profile(Service& service, const Request& request, const Captures& captures) {
  const Result<ProfileFile> file = held_or_shipped(service, query_text(request, "job"), captures.front());
  if (!file) return problem_response(file.problem(), not_found);
  return json_response(profile_json(file->profile));
}

}  // namespace strandbook
