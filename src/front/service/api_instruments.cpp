// Meters that are set up, and a reading from one.

#include "front/service/api.hpp"
#include "front/service/entries_in.hpp"
#include "workflow/instruments.hpp"

namespace strandbook {
Response get_instruments(Service&, const Request&, const Captures&) {
  const Result<std::vector<Instrument>> list = known_instruments();
  if (!list) return problem_response(list.problem(), conflict);
  return json_response(instruments_json(*list));
}

Response put_instruments(Service&, const Request& request, const Captures&) {
  if (!request.from_this_computer)
    return problem_response({{}, "another device", "the computer that serves", "Set meters up there."}, 403);
  const Result<std::vector<Instrument>> list = instruments_from(request.body, "request");
  if (!list) return problem_response(list.problem(), bad_request);
  const Result<Done> kept = keep_instruments(*list);
  if (!kept) return problem_response(kept.problem(), conflict);
  return json_response(instruments_json(*list));
}

Response post_instrument_read(Service&, const Request& request, const Captures&) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const std::string name = fields->needed_text("name");
  std::optional<Nanometres> wanted;
  if (const auto nm = fields->number("set_wavelength_nm", 400, 2000)) wanted = Nanometres{*nm};
  if (const Result<Done> done = fields->check(); !done) return problem_response(done.problem(), bad_request);
  const Result<Instrument> instrument = instrument_named(name);
  if (!instrument) return problem_response(instrument.problem(), not_found);
  const Result<MeterReading> reading = read_meter(*instrument, wanted);
  if (!reading) return problem_response(reading.problem(), 502);
  std::string out;
  JsonMembers members(out);
  members.number("power_dbm", reading->power.value);
  members.quantity("wavelength_nm", reading->wavelength);
  members.text("identity", reading->identity);
  members.text("time", iso_text(now_utc()));
  members.end();
  return json_response(std::move(out));
}

}  // namespace strandbook
