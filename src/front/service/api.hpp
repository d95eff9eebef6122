#pragma once
// The paths of docs/openapi.json and what answers them.

#include <functional>
#include <string>
#include <vector>

#include "front/service/fields_in.hpp"
#include "front/service/json_out.hpp"
#include "front/service/service.hpp"

namespace strandbook {

/// Values of the braces of a path, in order.
using Captures = std::vector<std::string>;
using Handler = Response (*)(Service&, const Request&, const Captures&);

struct Route {
  const char* method;
  const char* pattern;  ///< "/api/v1/jobs/{job}/map"
  Lane lane;
  Role least;  ///< who may ask for it: these and those above
  Handler handler;
};
const std::vector<Route>& api_routes();

struct RouteMatch {
  const Route* route = nullptr;
  Captures captures;
  bool path_known = false;  ///< by another method
};
RouteMatch match_route(const Request& request);

inline constexpr int not_found = 404;
inline constexpr int bad_request = 400;
/// The request is in order, but the book's state forbids it.
inline constexpr int conflict = 409;

/// What `work` answers for a job that is there and open.
Response with_job(Service& service, const Captures& captures,
                  const std::function<Response(ServedJob&)>& work);
/// A value of the query; empty where it has none.
std::string query_text(const Request& request, const char* key);
std::uint64_t revision_of(const ServedJob& job);
/// Person and reason, both needed.
Ground ground_in(FieldsIn& fields);

/// What listeners are told of a task.
std::string task_event(const TaskLook& look);

// One function per operation, in the order of the document.
Response get_about(Service&, const Request&, const Captures&);
Response get_openapi(Service&, const Request&, const Captures&);
Response get_jobs(Service&, const Request&, const Captures&);
Response post_job(Service&, const Request&, const Captures&);
Response get_job(Service&, const Request&, const Captures&);
Response get_map(Service&, const Request&, const Captures&);
Response get_strand(Service&, const Request&, const Captures&);
Response post_preview(Service&, const Request&, const Captures&);
Response get_readings(Service&, const Request&, const Captures&);
Response post_reading(Service&, const Request&, const Captures&);
Response post_batch(Service&, const Request&, const Captures&);
Response post_correction(Service&, const Request&, const Captures&);
Response post_withdrawal(Service&, const Request&, const Captures&);
Response get_references(Service&, const Request&, const Captures&);
Response post_reference(Service&, const Request&, const Captures&);
Response post_cord_check(Service&, const Request&, const Captures&);
Response post_splice_attempt(Service&, const Request&, const Captures&);
Response get_findings(Service&, const Request&, const Captures&);
Response post_acknowledgement(Service&, const Request&, const Captures&);
Response get_traces(Service&, const Request&, const Captures&);
Response get_trace(Service&, const Request&, const Captures&);
Response get_trace_levels(Service&, const Request&, const Captures&);
Response get_trace_readout(Service&, const Request&, const Captures&);
Response get_leftovers(Service&, const Request&, const Captures&);
Response post_rule(Service&, const Request&, const Captures&);
Response post_import(Service&, const Request&, const Captures&);
Response get_import(Service&, const Request&, const Captures&);
Response delete_import(Service&, const Request&, const Captures&);
Response post_import_choices(Service&, const Request&, const Captures&);
Response post_import_accept(Service&, const Request&, const Captures&);
Response post_compare(Service&, const Request&, const Captures&);
Response post_merge(Service&, const Request&, const Captures&);
Response post_carry(Service&, const Request&, const Captures&);
Response get_ends(Service&, const Request&, const Captures&);
Response get_audit(Service&, const Request&, const Captures&);
Response get_events(Service&, const Request&, const Captures&);
Response get_preflight(Service&, const Request&, const Captures&);
Response post_statement(Service&, const Request&, const Captures&);
Response post_note(Service&, const Request&, const Captures&);
Response post_document(Service&, const Request&, const Captures&);
Response get_parts(Service&, const Request&, const Captures&);
Response post_handover(Service&, const Request&, const Captures&);
Response get_task(Service&, const Request&, const Captures&);
Response delete_task(Service&, const Request&, const Captures&);
Response get_task_file(Service&, const Request&, const Captures&);
Response get_people(Service&, const Request&, const Captures&);
Response post_invitation(Service&, const Request&, const Captures&);
Response delete_person(Service&, const Request&, const Captures&);
Response get_rules(Service&, const Request&, const Captures&);
Response get_rule(Service&, const Request&, const Captures&);
Response post_rule_check(Service&, const Request&, const Captures&);
Response get_profiles(Service&, const Request&, const Captures&);
Response get_profile(Service&, const Request&, const Captures&);
Response post_limit(Service&, const Request&, const Captures&);
Response get_applications(Service&, const Request&, const Captures&);
Response get_prediction(Service&, const Request&, const Captures&);
Response get_application_answers(Service&, const Request&, const Captures&);
Response get_application_rows(Service&, const Request&, const Captures&);
Response get_engineer(Service&, const Request&, const Captures&);
Response post_engineer(Service&, const Request&, const Captures&);
Response post_level(Service&, const Request&, const Captures&);
Response get_instruments(Service&, const Request&, const Captures&);
Response put_instruments(Service&, const Request&, const Captures&);
Response post_instrument_read(Service&, const Request&, const Captures&);

}  // namespace strandbook
