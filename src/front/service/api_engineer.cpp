// Links outside the standards' tables, by the link model.

#include "edge/exchange/link_model_file.hpp"
#include "front/service/api.hpp"
#include "workflow/engineer_link.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {
namespace {

/// The shipped inputs are read once: they come with the program.
const Result<LinkModelTable>& shipped_models() {
  static const Result<LinkModelTable> table = [] {
    const Result<std::string> folder = find_rules_folder();
    return folder ? read_link_models(*folder) : Result<LinkModelTable>(folder.problem());
  }();
  return table;
}

EngineerQuestion engineer_question_in(FieldsIn& fields) {
  EngineerQuestion question;
  question.application = fields.needed_text("application");
  question.fibre = fields.needed_text("fibre");
  question.length = {fields.needed_number("length_m", 0.001, 200000)};
  question.connections = {fields.needed_number("connections_db", 0, 60)};
  question.attenuation_db_per_km = fields.number("attenuation_db_per_km", 0.01, 20);
  question.modal_bandwidth_mhz_km = fields.number("modal_bandwidth_mhz_km", 1, 100000);
  question.rms_width_nm = fields.number("rms_width_nm", 0.0001, 20);
  return question;
}

}  // namespace

Response get_engineer(Service&, const Request&, const Captures&) {
  const Result<LinkModelTable>& table = shipped_models();
  if (!table) return problem_response(table.problem(), conflict);
  std::string out;
  append_json_list(out, table->rows, [&](const LinkModelRow& row) {
    JsonMembers members(out);
    members.text("application", row.applications.front());
    members.text("fibre", row.fibre);
    members.number("length_m", row.inputs.target_length_m);
    members.truth("penalties_known", row.penalties_unknown.empty());
    members.end();
  });
  return json_response(std::move(out));
}

Response post_engineer(Service&, const Request& request, const Captures&) {
  const Result<LinkModelTable>& table = shipped_models();
  if (!table) return problem_response(table.problem(), conflict);
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const EngineerQuestion question = engineer_question_in(*fields);
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  const Result<EngineeredLink> link = engineer_link(*table, question);
  if (!link) return problem_response(link.problem(), 422);
  return json_response(engineered_link_json(*link));
}

}  // namespace strandbook
