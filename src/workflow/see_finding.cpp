#include "workflow/see_finding.hpp"

namespace strandbook {
namespace {

/// How a remark about the finding begins.
std::string opening_of(const std::string& key) { return "finding " + key + "\n"; }

}  // namespace

std::string key_of(const Finding& finding) {
  return finding.about.empty() ? finding.kind : finding.kind + ":" + finding.about;
}

std::optional<Acknowledgement> acknowledgement_of(const std::vector<Held<Remark>>& remarks,
                                                  const std::string& key) {
  const std::string opening = opening_of(key);
  for (auto held = remarks.rbegin(); held != remarks.rend(); ++held) {
    const Remark& remark = held->value;
    if (remark.kind == FactKind::acknowledgement && remark.text.starts_with(opening))
      return Acknowledgement{remark.person, remark.text.substr(opening.size()), held->time_ms};
  }
  return std::nullopt;
}

Result<Recorded> acknowledge(LiveJob& job, const std::string& key, const Ground& ground,
                             const std::string& by) {
  bool known = false;
  job.look_at_findings([&](const JobView&, const Findings& findings) {
    for (const Finding& finding : findings) known = known || key_of(finding) == key;
  });
  if (!known)
    return Problem{
        {}, "\"" + key + "\"", "the key of a finding that there is now", "See the findings again."};
  Remark remark;
  remark.kind = FactKind::acknowledgement;
  remark.text = opening_of(key) + ground.reason;
  remark.person = ground.person;
  return job.remark(remark, by);
}

}  // namespace strandbook
