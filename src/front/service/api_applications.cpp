// Which networks links will carry, and levels of live equipment against their window.

#include "edge/exchange/carry_json.hpp"
#include "edge/exchange/power_json.hpp"
#include "front/service/api.hpp"
#include "workflow/carry_job.hpp"
#include "workflow/check_power.hpp"
#include "workflow/know_light.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_answers = 500;

/// The published tables are read once: they come with the program.
const Result<std::shared_ptr<const KnownApplications>>& published() {
  static const Result<std::shared_ptr<const KnownApplications>> known = know_applications();
  return known;
}

void append_count(std::string& out, const ApplicationCount& count, const Application& row) {
  JsonMembers members(out);
  members.text("application", row.name);
  members.text("table", row.table);
  members.text("family", text_of(row.family));
  members.count("strands_used", static_cast<std::size_t>(row.strands));
  members.name("groups");
  append_json_list(out, count.groups, [&](std::size_t groups) { out += std::to_string(groups); });
  members.end();
}

std::string counts_json(const JobView& view, const KnownApplications& known) {
  std::vector<LinkCarries> links;
  if (view.judgement != nullptr) {
    const StrandLosses losses(view.judgement->all());
    links = carry_job(known.ground(view.judgement->all(), losses), known.table(), {});
  }
  std::size_t unknown = 0;
  for (const LinkCarries& link : links) unknown += link.answers.empty() ? 1 : 0;
  std::string out;
  JsonMembers members(out);
  members.count("revision", view.revision);
  members.count("links", links.size());
  members.count("links_without_answer", unknown);
  members.name("applications");
  append_json_list(out, count_applications(links, known.rows()),
                   [&](const ApplicationCount& count) { append_count(out, count, known.rows()[count.row]); });
  members.end();
  return out;
}

/// Answers with their links: of one link the best first, of one application the worst.
std::vector<LinkAnswer> answers_asked(const CarryGround& ground, const CarryTable& carry,
                                      const CarryWish& wish, const std::string& table) {
  std::vector<LinkAnswer> answers;
  for (LinkCarries& link : carry_job(ground, carry, wish))
    for (LinkAnswer& answer : link.answers)
      if (table.empty() || ground.rows[answer.row].table == table) answers.push_back(std::move(answer));
  std::stable_sort(answers.begin(), answers.end(), [&](const LinkAnswer& a, const LinkAnswer& b) {
    return wish.link.empty() ? b.outcome.carries < a.outcome.carries : a.outcome.carries < b.outcome.carries;
  });
  return answers;
}

std::string answers_json(const JobView& view, const KnownApplications& known, const CarryWish& wish,
                         const std::string& table) {
  std::string list = "[]";
  std::size_t total = 0;
  if (view.judgement != nullptr) {
    const StrandLosses losses(view.judgement->all());
    const CarryGround ground = known.ground(view.judgement->all(), losses);
    const std::vector<LinkAnswer> answers = answers_asked(ground, known.table(), wish, table);
    total = answers.size();
    list.clear();
    append_json_list(list, first_of(answers, most_answers),
                     [&](const LinkAnswer& answer) { append_link_answer(list, ground, answer); });
  }
  std::string out;
  JsonMembers members(out);
  members.count("revision", view.revision);
  members.count("total", total);
  members.raw("answers", list);
  members.end();
  return out;
}

std::optional<LevelEnd> parse_end(std::string_view text) {
  if (text == text_of(LevelEnd::launch)) return LevelEnd::launch;
  if (text == text_of(LevelEnd::receive)) return LevelEnd::receive;
  return std::nullopt;
}

struct LevelIn {
  LiveLevel level;
  PowerQuestion question;
};

LevelIn level_in(FieldsIn& fields, const ApplicationTable& rows, const PowerLevels& meanings) {
  LevelIn in;
  in.level.end = fields.choice("end", parse_end, "launch or receive").value_or(LevelEnd::receive);
  const auto fibre = fields.choice("fibre", parse_fibre_category, "OM1 to OM5, OS1, OS1a or OS2");
  if (const auto name = fields.text("application")) {
    in.question.application = row_over(rows, *name, fibre);
    if (in.question.application == nullptr) fields.note("application", *name, "a name of the tables");
  }
  in.level.level = {fields.needed_number("level_dbm", -100, 40)};
  if (const auto lanes = fields.whole("lanes_together", 1, 64))
    in.level.level = mean_lane_power(in.level.level, *lanes);
  if (in.level.level <= meanings.no_light.value) in.level.kind = LevelKind::no_light;
  if (in.level.end == LevelEnd::receive && meanings.implausible_receive.value < in.level.level)
    fields.note("level_dbm", "a received level above +10 dBm",
                "a level in dBm. Was the minus sign left out?");
  if (const auto least = fields.number("receive_min_dbm", -100, 40))
    in.question.receive_min = PowerDbm{*least};
  if (const auto most = fields.number("receive_max_dbm", -100, 40)) in.question.receive_max = PowerDbm{*most};
  if (const auto reserve = fields.number("reserve_db", 0, 60)) in.question.reserve = {*reserve};
  return in;
}

}  // namespace

Response get_applications(Service& service, const Request&, const Captures& captures) {
  const auto& known = published();
  if (!known) return problem_response(known.problem(), conflict);
  return with_job(service, captures, [&](ServedJob& job) {
    std::string out;
    job.live->look([&](const JobView& view) { out = counts_json(view, **known); });
    return json_response(std::move(out));
  });
}

Response get_application_answers(Service& service, const Request& request, const Captures& captures) {
  const auto& known = published();
  if (!known) return problem_response(known.problem(), conflict);
  CarryWish wish;
  wish.link = query_text(request, "link");
  if (const std::string name = query_text(request, "application"); !name.empty())
    wish.applications.push_back(name);
  return with_job(service, captures, [&](ServedJob& job) {
    std::string out;
    job.live->look(
        [&](const JobView& view) { out = answers_json(view, **known, wish, query_text(request, "table")); });
    return json_response(std::move(out));
  });
}

Response get_application_rows(Service&, const Request& request, const Captures&) {
  const auto& known = published();
  if (!known) return problem_response(known.problem(), conflict);
  const std::string name = query_text(request, "application");
  std::vector<const Application*> rows;
  for (const Application& row : (*known)->rows())
    if (name.empty() || row.name == name) rows.push_back(&row);
  std::string out;
  append_json_list(out, rows, [&](const Application* row) { out += application_json(*row); });
  return json_response(std::move(out));
}

Response post_level(Service&, const Request& request, const Captures&) {
  const auto& known = published();
  if (!known) return problem_response(known.problem(), conflict);
  static const Result<KnownLight> light = know_light();
  if (!light) return problem_response(light.problem(), conflict);
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const LevelIn in = level_in(*fields, (*known)->rows(), light->levels);
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  std::string out;
  append_level(out, check_level(in.level, in.question));
  return json_response(std::move(out));
}

}  // namespace strandbook
