// Who may come in, and who recorded what.

#include <charconv>

#include "edge/report/qr_code.hpp"
#include "front/service/api.hpp"
#include "front/service/invitation_link.hpp"

namespace strandbook {
namespace {

Response not_shared() {
  return problem_response({{},
                           "a book that only this computer reaches",
                           "a shared one",
                           "Start it with `strandbook serve --share`."},
                          conflict);
}

std::string invitation_json(const Invitation& each) {
  std::string out;
  JsonMembers members(out);
  members.text("id", each.id);
  members.text("name", each.name);
  members.text("role", text_of(each.role));
  members.text("until", time_text(each.until));
  members.end();
  return out;
}

std::string session_json(const Session& each, const Caller& caller) {
  std::string out;
  JsonMembers members(out);
  members.text("id", each.id);
  members.text("name", each.name);
  members.text("role", text_of(each.role));
  members.text("device", each.device);
  members.text("joined", time_text(each.joined));
  members.text("seen", time_text(each.seen));
  members.truth("me", each.id == caller.session);
  members.end();
  return out;
}

/// The port that the lead's own browser used: other devices use it too.
std::uint16_t port_of(const Request& request) {
  const std::string_view host = request.header("host");
  std::uint16_t port = 443;
  if (const std::size_t colon = host.rfind(':'); colon != std::string_view::npos)
    std::from_chars(host.data() + colon + 1, host.data() + host.size(), port);
  return port;
}

std::string invited_json(const Invited& invited, std::uint16_t port) {
  const std::vector<std::string> links = invitation_links(port, invited.code);
  std::string out;
  JsonMembers members(out);
  members.raw("invitation", invitation_json(invited.invitation));
  members.text("code", invited.code);
  members.name("links");
  append_json_list(out, links, [&](const std::string& each) { append_json_text(out, each); });
  members.name("qr");
  append_json_list(out, links.empty() ? std::vector<std::string>{} : qr_rows(links.front()),
                   [&](const std::string& each) { append_json_text(out, each); });
  members.end();
  return out;
}

}  // namespace

Response get_people(Service& service, const Request& request, const Captures&) {
  if (service.people() == nullptr) return not_shared();
  const Result<PeopleList> list = service.people()->list();
  if (!list) return problem_response(list.problem(), conflict);
  std::string out;
  JsonMembers members(out);
  members.name("people");
  append_json_list(out, list->sessions,
                   [&](const Session& each) { out += session_json(each, request.caller); });
  members.name("invitations");
  append_json_list(out, list->invitations, [&](const Invitation& each) { out += invitation_json(each); });
  members.end();
  return json_response(std::move(out));
}

Response post_invitation(Service& service, const Request& request, const Captures&) {
  if (service.people() == nullptr) return not_shared();
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const std::string name = fields->needed_text("name", 100);
  const std::string word = fields->needed_text("role");
  const std::optional<Role> role = parse_role(word);
  if (!role) fields->note("role", "\"" + word + "\"", "reads, crew or lead");
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  const Result<Invited> invited = service.people()->invite(name, *role);
  if (!invited) return problem_response(invited.problem(), conflict);
  Response response = json_response(invited_json(*invited, port_of(request)));
  response.status = 201;
  return response;
}

Response delete_person(Service& service, const Request&, const Captures& captures) {
  if (service.people() == nullptr) return not_shared();
  const Result<bool> gone = service.people()->cut_off(captures.front());
  if (!gone) return problem_response(gone.problem(), conflict);
  if (!*gone)
    return problem_response({{}, captures.front(), "a device or an invitation of the list", "See the list."},
                            not_found);
  Response response;
  response.status = 204;
  response.type.clear();
  return response;
}

Response get_audit(Service& service, const Request& request, const Captures& captures) {
  constexpr std::size_t at_a_time = 200;
  const std::string before_text = query_text(request, "before");
  const std::optional<Uuid> before = parse_uuid(before_text);
  if (!before_text.empty() && !before)
    return problem_response({{}, "\"" + before_text + "\"", "before=ID of a fact", ""}, bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    const Result<std::vector<AuditLine>> lines = job.live->audit(before, at_a_time);
    if (!lines) return problem_response(lines.problem(), conflict);
    std::string out;
    append_json_list(out, *lines, [&](const AuditLine& line) {
      JsonMembers members(out);
      members.text("fact", text_of(line.fact.id));
      members.text("time", time_text(line.fact.time_ms));
      members.text("kind", text_of(line.fact.kind));
      members.text("device", text_of(line.fact.device));
      members.count("number", static_cast<std::size_t>(line.fact.sequence));
      members.maybe_text("by", line.by);
      members.text("summary", line.summary);
      members.end();
    });
    return json_response(std::move(out));
  });
}

}  // namespace strandbook
