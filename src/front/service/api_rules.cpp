// Rule sets, limits, and how a job is judged.

#include "edge/exchange/assessment_out.hpp"
#include "edge/exchange/rule_file.hpp"
#include "front/service/api.hpp"
#include "workflow/know_profiles.hpp"
#include "workflow/rule_view.hpp"

namespace strandbook {
namespace {

constexpr std::size_t rule_text_limit = 512UL * 1024;

/// The shipped rules, and the own rule of the job that the query names.
Result<KnownRules> rules_asked(Service& service, const Request& request) {
  OwnRules own;
  const auto named = request.query.find("job");
  if (named != request.query.end() && !named->second.empty()) {
    const auto job = service.jobs.find(named->second);
    if (!job || !job->live) return Problem{{}, "job \"" + named->second + "\"", "a job that is served", ""};
    job->live->look([&](const JobView& view) {
      if (!view.rule_choices.empty() && !view.rule_choices.back().value.own_rule_text.empty())
        own.texts.push_back(view.rule_choices.back().value.own_rule_text);
    });
  }
  return know_rules(own, {});
}

/// Own rules are kept as text in the book; shipped ones are files.
std::string text_of_rule(Service& service, const Request& request, const std::string& id) {
  if (!id.starts_with("own:")) {
    const Result<std::string> shipped = shipped_rule_text(id);
    return shipped ? *shipped : std::string{};
  }
  std::string text;
  if (const auto job = service.jobs.find(request.query.at("job")); job && job->live)
    job->live->look([&](const JobView& view) { text = view.rule_choices.back().value.own_rule_text; });
  return text;
}

struct Conditions {
  std::optional<ReferenceMethod> method;
  std::optional<CordGrade> cords;
  std::optional<Configuration> configuration;
};
Conditions conditions_in(FieldsIn& fields) {
  return {fields.choice("reference_method", parse_reference_method, "one-cord, two-cord or three-cord"),
          fields.choice("cord_grade", parse_cord_grade, "reference or standard"),
          fields.choice("configuration", parse_configuration, "link or channel")};
}

LimitQuestion limit_question_in(FieldsIn& fields) {
  LimitQuestion question;
  question.fibre =
      fields.choice("fibre", parse_fibre_category, "OM1 to OM5, OS1, OS1a, OS2, multimode or single-mode");
  if (!question.fibre) fields.note("fibre", "nothing", "a fibre category, such as OM4");
  question.plant =
      fields.choice("plant", parse_plant, "inside, indoor-outdoor or outside").value_or(Plant::unstated);
  question.length = Metres{fields.needed_number("length_m", 0, 200000)};
  question.connections = fields.whole("connections", 0, 1000);
  if (!question.connections) fields.note("connections", "nothing", "mated pairs, end connections included");
  question.splices = fields.whole("splices", 0, 1000).value_or(0);
  question.wavelength = {fields.needed_number("wavelength_nm", 400, 2000)};
  const Conditions conditions = conditions_in(fields);
  question.method = conditions.method;
  question.cords = conditions.cords;
  question.configuration = conditions.configuration;
  return question;
}

/// The rule a question is asked of: a text, or the id of a shipped one.
Result<RuleSet> rule_in(const std::optional<std::string>& id, const std::optional<std::string>& text) {
  if (text) return read_rule_text(*text, "rule");
  const Result<KnownRules> known = know_rules({}, {});
  if (!known) return known.problem();
  const Result<const RuleSet*> rule = rule_by_id(*known->rulebook, id.value_or(""));
  if (!rule) return rule.problem();
  return **rule;
}

/// An own rule goes by its text; its id is read from there.
Result<Done> take_rule(JobSettings& settings, FieldsIn& fields) {
  const auto text = fields.text("rule_text", rule_text_limit);
  if (fields.names("rule") || text) {
    settings.rule = fields.text("rule").value_or("");
    settings.own_rule_texts.clear();
  }
  if (!text || text->empty()) return Done{};
  const Result<RuleSet> own = read_rule_text(*text, "rule");
  if (!own) return own.problem();
  settings.rule = own->id;
  settings.own_rule_texts.push_back(*text);
  return Done{};
}

/// A profile newly chosen settles anew all that it speaks of, and keeps the rule where it names none.
Result<Done> take_profile(JobSettings& settings, FieldsIn& fields) {
  if (!fields.names("profile")) return Done{};
  const std::string id = fields.text("profile").value_or("");
  if (id.empty()) {
    settings.profile_text.clear();
    return Done{};
  }
  const Result<ProfileFile> profile = shipped_profile(id);
  if (!profile) return profile.problem();
  JobSettings fresh;
  fresh.method = settings.method;
  fresh.cords = settings.cords;
  fresh.configuration = settings.configuration;
  if (profile->profile.rule.empty()) {
    fresh.rule = settings.rule;
    fresh.own_rule_texts = settings.own_rule_texts;
  }
  settings = under_profile(std::move(fresh), *profile);
  return Done{};
}

/// What the body names takes the place of what the job held; the rest stays.
Result<Done> take_choices(JobSettings& settings, FieldsIn& fields) {
  if (Result<Done> taken = take_profile(settings, fields); !taken) return taken;
  if (Result<Done> taken = take_rule(settings, fields); !taken) return taken;
  if (fields.names("guard")) settings.guard = fields.choice("guard", parse_guard_band, "none or U");
  if (fields.names("fixed_limit_db")) {
    const auto limit = fields.number("fixed_limit_db", 0, 100);
    settings.fixed_limit = limit ? std::optional<Decibels>{{*limit}} : std::nullopt;
  }
  if (fields.names("wavelengths_nm")) {
    settings.wavelengths.clear();
    for (const double nm : fields.numbers("wavelengths_nm", 400, 2000)) settings.wavelengths.push_back({nm});
  }
  if (fields.names("directions"))
    settings.directions = fields.choice("directions", parse_direction_demand, "either or both");
  const bool method = fields.names("reference_method"), cords = fields.names("cord_grade"),
             configuration = fields.names("configuration");
  const Conditions conditions = conditions_in(fields);
  if (method) settings.method = conditions.method;
  if (cords) settings.cords = conditions.cords;
  if (configuration) settings.configuration = conditions.configuration;
  return Done{};
}

}  // namespace

Response get_rules(Service& service, const Request& request, const Captures&) {
  const Result<KnownRules> known = rules_asked(service, request);
  if (!known) return problem_response(known.problem(), not_found);
  std::string out;
  append_json_list(out, *known->rulebook, [&](const RuleSet& rule) { out += rule_line_json(rule); });
  return json_response(std::move(out));
}

Response get_rule(Service& service, const Request& request, const Captures& captures) {
  const Result<KnownRules> known = rules_asked(service, request);
  if (!known) return problem_response(known.problem(), not_found);
  const Result<const RuleSet*> rule = rule_by_id(*known->rulebook, captures.front());
  if (!rule) return problem_response(rule.problem(), not_found);
  std::string out;
  JsonMembers members(out);
  members.raw("rule", rule_line_json(**rule));
  members.name("sections");
  append_json_list(out, sections_of(**rule),
                   [&](const RuleSection& each) { append_section_json(out, each); });
  members.text("text", text_of_rule(service, request, captures.front()));
  members.end();
  return json_response(std::move(out));
}

Response post_rule_check(Service&, const Request& request, const Captures&) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const std::string text = fields->text("text", rule_text_limit).value_or("");
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  const Result<RuleSet> rule = read_rule_text(text, "rule");
  if (!rule) return problem_response(rule.problem(), 422);
  return json_response("{\"id\":" + text_json(rule->id) + ",\"title\":" + text_json(rule->title) + "}");
}

Response post_limit(Service&, const Request& request, const Captures&) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const auto id = fields->text("rule");
  const auto text = fields->text("rule_text", rule_text_limit);
  const LimitQuestion question = limit_question_in(*fields);
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  const Result<RuleSet> rule = rule_in(id, text);
  if (!rule) return problem_response(rule.problem(), 422);
  const Result<Limit> limit = limit_of(*rule, question);
  if (!limit) return problem_response(limit.problem(), 422);
  return json_response(limit_json(*rule, question, *limit));
}

Response post_rule(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const Ground ground = ground_in(*fields);
  return with_job(service, captures, [&](ServedJob& job) {
    JobSettings settings;
    job.live->look([&](const JobView& view) {
      if (!view.rule_choices.empty()) settings = settings_of(view.rule_choices.back().value);
    });
    if (Result<Done> taken = take_choices(settings, *fields); !taken)
      return problem_response(taken.problem(), 422);
    if (const Result<Done> done = fields->check(); !done)
      return problem_response(done.problem(), bad_request);
    const Result<Done> done = job.live->settle_rule(settings, ground, author_of(request.caller));
    if (!done) return problem_response(done.problem(), conflict);
    return json_response(revision_json(revision_of(job)));
  });
}

}  // namespace strandbook
