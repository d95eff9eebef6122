#include "workflow/see_finding.hpp"

namespace strandbook {
namespace {

constexpr std::string_view opening_words = "finding ";

}  // namespace

std::string key_of(const Finding& finding) {
  return finding.about.empty() ? finding.kind : finding.kind + ":" + finding.about;
}

std::optional<Acknowledged> acknowledged_by(const Remark& remark) {
  const std::size_t end = remark.text.find('\n');
  if (remark.kind != FactKind::acknowledgement || !remark.text.starts_with(opening_words) ||
      end == std::string::npos)
    return std::nullopt;
  return Acknowledged{remark.text.substr(opening_words.size(), end - opening_words.size()),
                      remark.text.substr(end + 1)};
}

const Held<Remark>* acknowledgement_of(const std::vector<Held<Remark>>& remarks, const std::string& key) {
  for (auto remark = remarks.rbegin(); remark != remarks.rend(); ++remark) {
    const auto said = acknowledged_by(remark->value);
    if (said && said->key == key) return &*remark;
  }
  return nullptr;
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
  remark.text = std::string(opening_words) + key + "\n" + ground.reason;
  remark.person = ground.person;
  return job.remark(remark, by);
}

}  // namespace strandbook
