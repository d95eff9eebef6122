#include "edge/book/domain_facts.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <bit>
#include <cmath>
#include <cstdint>

namespace strandbook {
namespace {

const Uuid fact_id = *parse_uuid("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");

FactFields fields_of(const FactDraft& draft) {
  Result<FactFields> fields = FactFields::parse(draft.body, fact_id);
  if (!fields) throw std::runtime_error(describe(fields.problem()));
  return std::move(*fields);
}

/// Printable text with the characters that tables and JSON trip over.
rc::Gen<std::string> any_text() {
  return rc::gen::container<std::string>(rc::gen::elementOf(std::string("ab07-_/ \"\\\n\t{}[],:\x01")));
}

rc::Gen<double> any_double() {
  return rc::gen::map(rc::gen::arbitrary<std::uint64_t>(), [](std::uint64_t bits) {
    const auto value = std::bit_cast<double>(bits);
    return std::isnan(value) ? 0.1 : value;
  });
}

template <class T>
std::optional<T> maybe(rc::Gen<T> gen) {
  return *rc::gen::arbitrary<bool>() ? std::optional<T>{*gen} : std::nullopt;
}

template <class T>
rc::Gen<T> one_of(std::initializer_list<T> values) {
  return rc::gen::elementOf(std::vector<T>(values));
}

Instant any_instant() {
  return {*rc::gen::arbitrary<std::int64_t>(), *rc::gen::arbitrary<bool>(), *rc::gen::arbitrary<bool>(),
          *rc::gen::arbitrary<bool>()};
}

bool same_bits(double a, double b) {
  return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}

ScheduledStrand any_strand() {
  ScheduledStrand strand;
  strand.cable = *any_text();
  strand.link = *any_text();
  strand.strand = *any_text();
  strand.end_a = *any_text();
  strand.end_b = *any_text();
  strand.building = *any_text();
  strand.fibre =
      maybe(one_of({FibreCategory::om1, FibreCategory::om2, FibreCategory::om3, FibreCategory::om4,
                    FibreCategory::om5, FibreCategory::os1, FibreCategory::os1a, FibreCategory::os2,
                    FibreCategory::multimode_unstated, FibreCategory::single_mode_unstated}));
  strand.plant = *one_of({Plant::unstated, Plant::inside, Plant::indoor_outdoor, Plant::outside});
  if (*rc::gen::arbitrary<bool>()) strand.length = Metres{*any_double()};
  strand.connections = maybe(rc::gen::arbitrary<int>());
  strand.splices = maybe(rc::gen::arbitrary<int>());
  strand.rule = *any_text();
  if (*rc::gen::arbitrary<bool>()) strand.fixed_limit = Decibels{*any_double()};
  strand.method =
      maybe(one_of({ReferenceMethod::one_cord, ReferenceMethod::two_cord, ReferenceMethod::three_cord}));
  strand.cords = maybe(one_of({CordGrade::reference_grade, CordGrade::standard_grade}));
  strand.configuration = maybe(one_of({Configuration::link, Configuration::channel}));
  for (const double value : *rc::gen::container<std::vector<double>>(any_double()))
    strand.wavelengths.push_back({value});
  strand.directions = maybe(one_of({DirectionDemand::either, DirectionDemand::both}));
  strand.at = {*any_text(), *any_text(), *rc::gen::inRange<std::size_t>(0, 2000000), *any_text()};
  return strand;
}

RC_GTEST_PROP(DomainFacts, ScheduleRowsReadBack, ()) {
  const ScheduledStrand strand = any_strand();
  const FactDraft draft = to_fact(strand, std::nullopt);
  const Result<ScheduledStrand> back = strand_from(fields_of(draft));
  RC_ASSERT(static_cast<bool>(back));
  // One canonical form: equal texts are equal values, each member being written.
  RC_ASSERT(to_fact(*back, std::nullopt).body == draft.body);
  RC_ASSERT(back->link == strand.link && back->strand == strand.strand && back->at == strand.at);
  RC_ASSERT(back->fibre == strand.fibre && back->plant == strand.plant && back->method == strand.method);
  RC_ASSERT(back->connections == strand.connections && back->splices == strand.splices);
  RC_ASSERT(back->wavelengths == strand.wavelengths && back->length == strand.length);
  RC_ASSERT(back->cords == strand.cords && back->configuration == strand.configuration);
  RC_ASSERT(back->directions == strand.directions && back->fixed_limit == strand.fixed_limit);
  RC_ASSERT(back->cable == strand.cable && back->end_a == strand.end_a && back->end_b == strand.end_b);
  RC_ASSERT(back->building == strand.building && back->rule == strand.rule);
  RC_ASSERT(subject_of(FactKind::strand, fields_of(draft)) == draft.subject);
}

RC_GTEST_PROP(DomainFacts, ReferencesReadBack, ()) {
  Reference reference;
  reference.id = *any_text();
  reference.kind = *one_of({ReferenceKind::opening, ReferenceKind::closing_check});
  reference.wavelength = {*any_double()};
  if (*rc::gen::arbitrary<bool>()) reference.meter_setting = Nanometres{*any_double()};
  reference.power = {*any_double()};
  reference.method = maybe(one_of({ReferenceMethod::one_cord, ReferenceMethod::three_cord}));
  if (*rc::gen::arbitrary<bool>()) reference.time = any_instant();
  reference.source = *any_text();
  reference.meter = *any_text();
  reference.cords = *any_text();
  reference.operator_name = *any_text();
  reference.at = {*any_text(), *any_text(), *rc::gen::inRange<std::size_t>(0, 2000000), *any_text()};
  const Result<Reference> back = reference_from(fields_of(to_fact(reference, std::nullopt)));
  RC_ASSERT(static_cast<bool>(back));
  RC_ASSERT(back->id == reference.id && back->kind == reference.kind && back->method == reference.method);
  RC_ASSERT(same_bits(back->wavelength.value, reference.wavelength.value));
  RC_ASSERT(same_bits(back->power.value, reference.power.value));
  RC_ASSERT(back->meter_setting == reference.meter_setting && back->time == reference.time);
  RC_ASSERT(back->source == reference.source && back->meter == reference.meter &&
            back->cords == reference.cords);
  RC_ASSERT(back->operator_name == reference.operator_name && back->at == reference.at);
}

struct TextsOfReading {
  std::string link = *any_text();
  std::string strand = *any_text();
  std::string reference = *any_text();
  std::string source = *any_text();
  std::string meter = *any_text();
  std::string cords = *any_text();
  std::string person = *any_text();
};

Reading any_reading(const TextsOfReading& texts) {
  Reading reading;
  reading.link = texts.link;
  reading.strand = texts.strand;
  reading.reference = texts.reference;
  reading.source = texts.source;
  reading.meter = texts.meter;
  reading.cords = texts.cords;
  reading.operator_name = texts.person;
  reading.wavelength = {*any_double()};
  reading.meter_setting = {*any_double()};
  reading.value = *any_double();
  if (*rc::gen::arbitrary<bool>()) reading.standard_uncertainty_db = *any_double();
  if (*rc::gen::arbitrary<bool>()) reading.length_m = *any_double();
  reading.has_time = *rc::gen::arbitrary<bool>();
  if (reading.has_time) reading.time = any_instant();
  reading.kind = *one_of({ReadingKind::power, ReadingKind::loss, ReadingKind::no_light});
  reading.direction = maybe(one_of({Direction::a_to_b, Direction::b_to_a}));
  reading.row = *rc::gen::arbitrary<std::uint32_t>();
  reading.column = *rc::gen::arbitrary<std::uint16_t>();
  return reading;
}

RC_GTEST_PROP(DomainFacts, ReadingsReadBack, ()) {
  const TextsOfReading texts;
  const Reading reading = any_reading(texts);
  const FactDraft draft = to_fact(reading, {"day 1.csv", "Hall"}, std::nullopt);
  ReadingSet set;
  TextKeeper keeper(set);
  const FactFields fields = fields_of(draft);
  const Result<Reading> back = reading_from(fields, keeper);
  RC_ASSERT(static_cast<bool>(back));
  RC_ASSERT(back->link == reading.link && back->strand == reading.strand &&
            back->reference == reading.reference);
  RC_ASSERT(back->source == reading.source && back->meter == reading.meter && back->cords == reading.cords);
  RC_ASSERT(back->operator_name == reading.operator_name && back->kind == reading.kind);
  RC_ASSERT(same_bits(back->value, reading.value) && back->direction == reading.direction);
  RC_ASSERT(back->wavelength == reading.wavelength && back->meter_setting == reading.meter_setting);
  RC_ASSERT(same_bits(back->standard_uncertainty_db, reading.standard_uncertainty_db));
  RC_ASSERT(same_bits(back->length_m, reading.length_m));
  RC_ASSERT(back->has_time == reading.has_time && back->time == reading.time);
  RC_ASSERT(back->row == reading.row && back->column == reading.column);
  RC_ASSERT(source_from(fields).file == "day 1.csv" && source_from(fields).sheet == "Hall");
  RC_ASSERT(subject_of(FactKind::reading, fields) == draft.subject);
}

TEST(DomainFacts, AnIntegerStaysOneBesideANumberBeyond64Bits) {
  for (const double far : {1.8446744073709552e19, -9.3e18}) {
    Reading reading;
    reading.value = far;
    reading.has_time = true;
    for (const std::int64_t seconds : {std::int64_t{1000000000000000000}, INT64_MAX, INT64_MIN}) {
      reading.time = {seconds, true, true, false};
      const FactFields fields = fields_of(to_fact(reading, {}, std::nullopt));
      ReadingSet set;
      TextKeeper keeper(set);
      const Result<Reading> back = reading_from(fields, keeper);
      ASSERT_TRUE(static_cast<bool>(back)) << far << " beside " << seconds;
      EXPECT_EQ(back->value, far);
      EXPECT_EQ(back->time, reading.time);
    }
  }
}

TEST(DomainFacts, AReadingNamesItsImportInsteadOfItsFile) {
  Reading reading;
  reading.strand = "007";
  reading.wavelength = {1310};
  reading.value = 0.35;
  reading.row = 7;
  reading.column = 4;
  EXPECT_EQ(to_fact(reading, {"day1.csv", ""}, fact_id).body,
            R"({"column":4,"import":"017f22e2-79b0-7cc3-98c4-dc0c0c07398f","kind":"loss","row":7,)"
            R"("strand":"007","value":0.35,"wavelength_nm":1310})");
}

std::optional<Measured> any_measured() {
  if (!*rc::gen::arbitrary<bool>()) return std::nullopt;
  return Measured{*any_double(), *any_double()};
}

LinkEvent any_event() {
  LinkEvent event;
  event.kind = *one_of({EventKind::reflective, EventKind::gain, EventKind::end_of_fibre});
  event.position = {*any_double()};
  event.until = {*any_double()};
  event.loss = any_measured();
  if (*rc::gen::arbitrary<bool>()) event.reflectance = Decibels{*any_double()};
  event.saturated = *rc::gen::arbitrary<bool>();
  return event;
}

HeldTrace any_trace() {
  HeldTrace trace;
  trace.link = *any_text();
  trace.strand = *any_text();
  trace.direction = maybe(one_of({Direction::a_to_b, Direction::b_to_a}));
  trace.wavelength = {*any_double()};
  trace.pulse_ns = *any_double();
  trace.index = {*any_double()};
  trace.step = {*any_double()};
  if (*rc::gen::arbitrary<bool>()) trace.launch = Metres{*any_double()};
  if (*rc::gen::arbitrary<bool>()) trace.range = Metres{*any_double()};
  if (*rc::gen::arbitrary<bool>()) trace.receive = Metres{*any_double()};
  if (*rc::gen::arbitrary<bool>()) trace.taken = any_instant();
  trace.instrument = *any_text();
  trace.operator_name = *any_text();
  trace.number = *rc::gen::inRange(0, 64);
  trace.detectable = {*any_double()};
  trace.end = *one_of({EndState::found, EndState::beyond_noise, EndState::beyond_range});
  trace.seen.start = {*any_double()};
  trace.seen.length = {*any_double()};
  if (*rc::gen::arbitrary<bool>()) trace.seen.ends = Metres{*any_double()};
  trace.seen.blind = {*any_double()};
  trace.seen.loss = any_measured();
  trace.seen.near_end_measured = *rc::gen::arbitrary<bool>();
  trace.seen.far_end_measured = *rc::gen::arbitrary<bool>();
  for (int n = *rc::gen::inRange(0, 4); n > 0; --n) {
    trace.seen.events.push_back(any_event());
    trace.seen.notes.push_back(*any_text());
  }
  trace.at.file = *any_text();
  return trace;
}

RC_GTEST_PROP(DomainFacts, TracesReadBack, ()) {
  const HeldTrace trace = any_trace();
  const FactDraft draft = to_fact(trace, std::nullopt);
  const Result<HeldTrace> back = trace_from(fields_of(draft));
  RC_ASSERT(static_cast<bool>(back));
  RC_ASSERT(to_fact(*back, std::nullopt).body == draft.body);
  RC_ASSERT(back->link == trace.link && back->strand == trace.strand && back->direction == trace.direction);
  RC_ASSERT(same_bits(back->wavelength.value, trace.wavelength.value));
  RC_ASSERT(same_bits(back->pulse_ns, trace.pulse_ns) && same_bits(back->index.value, trace.index.value));
  RC_ASSERT(back->launch == trace.launch && back->receive == trace.receive && back->taken == trace.taken);
  RC_ASSERT(back->number == trace.number && back->end == trace.end && back->at.file == trace.at.file);
  RC_ASSERT(back->seen.near_end_measured == trace.seen.near_end_measured);
  RC_ASSERT(back->seen.far_end_measured == trace.seen.far_end_measured);
  RC_ASSERT(back->seen.notes.size() == trace.seen.notes.size());
  RC_ASSERT(back->seen.events.size() == trace.seen.events.size());
  for (std::size_t i = 0; i < trace.seen.events.size(); ++i) {
    const LinkEvent& found = back->seen.events[i];
    const LinkEvent& given = trace.seen.events[i];
    RC_ASSERT(found.kind == given.kind && found.saturated == given.saturated);
    RC_ASSERT(same_bits(found.position.value, given.position.value));
    RC_ASSERT(found.loss.has_value() == given.loss.has_value() && found.reflectance == given.reflectance);
    if (given.loss) RC_ASSERT(same_bits(found.loss->value, given.loss->value));
  }
  RC_ASSERT(subject_of(FactKind::trace, fields_of(draft)) == draft.subject);
}

RC_GTEST_PROP(DomainFacts, RuleChoicesReadBack, ()) {
  RuleChoice choice;
  choice.rule = *any_text();
  choice.own_rule_text = *any_text();
  choice.profile_text = *any_text();
  choice.guard = maybe(one_of({GuardBand::none, GuardBand::expanded_uncertainty}));
  if (*rc::gen::arbitrary<bool>()) choice.fixed_limit = Decibels{*any_double()};
  for (const double value : *rc::gen::container<std::vector<double>>(any_double()))
    choice.wavelengths.push_back({value});
  choice.directions = maybe(one_of({DirectionDemand::either, DirectionDemand::both}));
  choice.method = maybe(one_of({ReferenceMethod::one_cord, ReferenceMethod::two_cord}));
  choice.cords = maybe(one_of({CordGrade::reference_grade, CordGrade::standard_grade}));
  choice.configuration = maybe(one_of({Configuration::link, Configuration::channel}));
  choice.person = *any_text();
  choice.reason = *any_text();
  const Result<RuleChoice> back = rule_choice_from(fields_of(to_fact(choice)));
  RC_ASSERT(static_cast<bool>(back));
  RC_ASSERT(*back == choice);
}

RC_GTEST_PROP(DomainFacts, RecordsReadBack, ()) {
  JobRecord job{*any_text(), {}};
  for (const std::string& key : *rc::gen::container<std::vector<std::string>>(any_text()))
    job.settings[key] = *any_text();
  job.settings.erase("");
  const Result<JobRecord> job_back = job_from(fields_of(to_fact(job)));
  RC_ASSERT(static_cast<bool>(job_back));
  RC_ASSERT(*job_back == job);

  const Remark remark{*one_of({FactKind::note, FactKind::acknowledgement, FactKind::sign_off}),
                      *any_text(),
                      *any_text(),
                      {*any_text(), *any_text()},
                      maybe(rc::gen::just(fact_id))};
  const Result<Remark> remark_back = remark_from(remark.kind, fields_of(to_fact(remark)));
  RC_ASSERT(static_cast<bool>(remark_back));
  RC_ASSERT(*remark_back == remark);

  const Problem problem{{*any_text(), *any_text(), *rc::gen::inRange<std::size_t>(0, 99999), *any_text()},
                        *any_text(),
                        *any_text(),
                        *any_text()};
  const Result<UnreadRow> row = unread_from(fields_of(to_unread_fact(problem, std::nullopt)));
  RC_ASSERT(static_cast<bool>(row));
  RC_ASSERT(row->why.at == problem.at && row->why.found == problem.found);
  RC_ASSERT(row->why.wanted == problem.wanted && row->why.advice == problem.advice);
}

RC_GTEST_PROP(DomainFacts, ACorrectionKeepsTheBodyByteForByte, ()) {
  const FactDraft body = to_fact(any_strand(), std::nullopt);
  const Correction correction{fact_id, body.body, *any_text(), *any_text()};
  const Result<Correction> back = correction_from(fields_of(to_fact(correction, body.subject)));
  RC_ASSERT(static_cast<bool>(back));
  RC_ASSERT(back->body == body.body && back->fact == fact_id && !back->withdraws());
  RC_ASSERT(back->person == correction.person && back->reason == correction.reason);
}

TEST(DomainFacts, ImportsReadBack) {
  const ImportRecord import{"day1.csv",
                            sha256("x"),
                            ImportPurpose::references,
                            "loss_sign=as-written",
                            {{"day1.csv", "", "day-first, proved by row 3"}}};
  const Result<ImportRecord> back = import_from(fields_of(to_fact(import)));
  ASSERT_TRUE(static_cast<bool>(back));
  EXPECT_EQ(back->file, import.file);
  EXPECT_EQ(back->hash, import.hash);
  EXPECT_EQ(back->purpose, import.purpose);
  EXPECT_EQ(back->understood, import.understood);
  ASSERT_EQ(back->notes.size(), 1U);
  EXPECT_EQ(back->notes[0].text, "day-first, proved by row 3");
}

TEST(DomainFacts, NumbersBeyondWholeSixtyFourBitsReadBack) {
  const auto fields = FactFields::parse(
      R"({"numbers":[18446744073709552000,-9223372036854775808000,1e300,7],"text":"12345678901234567890 \" 9"})",
      fact_id);
  ASSERT_TRUE(static_cast<bool>(fields));
  EXPECT_EQ(fields->numbers("numbers"),
            (std::vector<double>{18446744073709552000.0, -9223372036854775808000.0, 1e300, 7}));
  EXPECT_EQ(fields->text("text"), "12345678901234567890 \" 9");
}

RC_GTEST_PROP(DomainFacts, SpliceAttemptsReadBack, ()) {
  SpliceAttempt attempt{*any_text(), *any_text(), {*any_double()}, *rc::gen::inRange(1, 21),
                        {},          {},          *any_text()};
  attempt.method = maybe(one_of({SpliceMethod::fusion, SpliceMethod::mechanical}));
  if (*rc::gen::arbitrary<bool>()) attempt.time = any_instant();
  const FactDraft draft = to_fact(attempt, {});
  const Result<SpliceAttempt> back = splice_attempt_from(fields_of(draft));
  RC_ASSERT(static_cast<bool>(back));
  RC_ASSERT(to_fact(*back, {}).body == draft.body);
  RC_ASSERT((draft.subject == Subject{attempt.link, attempt.strand}));
}

TEST(DomainFacts, CertificatesAndLightPathsReadBack) {
  const Calibration certificate{"M-5",
                                "power meter",
                                "C 17",
                                *parse_iso_day("2025-06-10"),
                                *parse_iso_day("2026-06-10"),
                                {"", "sheet", 4, ""}};
  const Result<Calibration> held = calibration_from(fields_of(to_fact(certificate, fact_id)));
  ASSERT_TRUE(static_cast<bool>(held));
  EXPECT_EQ(held->instrument, "M-5");
  EXPECT_EQ(held->kind, "power meter");
  EXPECT_EQ(held->certificate, "C 17");
  EXPECT_EQ(iso_text(held->from), "2025-06-10");
  EXPECT_EQ(iso_text(held->through), "2026-06-10");
  EXPECT_EQ(held->at.row, 4U);
  const LightPath dark{"A-1", "", Instant{3600, true, true, true}, "R.", {"", "", 2, ""}};
  const Result<LightPath> path = light_path_from(fields_of(to_fact(dark, fact_id)));
  ASSERT_TRUE(static_cast<bool>(path));
  EXPECT_EQ(path->in, "A-1");
  EXPECT_TRUE(path->out.empty());
  EXPECT_EQ(path->time, dark.time);
  EXPECT_EQ(path->operator_name, "R.");
}

std::string refusal(FactKind kind, const char* body) {
  const Result<FactFields> fields = FactFields::parse(body, fact_id);
  if (!fields) return fields.problem().found;
  const Result<Done> done = check_body(kind, *fields);
  return done ? "" : done.problem().found;
}

struct UnreadableBody {
  FactKind kind;
  const char* body;
  const char* named;
};

TEST(DomainFacts, WhatCannotBeReadIsNamed) {
  const std::vector<UnreadableBody> cases = {
      {FactKind::reading, "{", "no readable content in fact 017f22e2"},
      {FactKind::reading, "[]", "no readable content"},
      {FactKind::reading, R"({"kind":"loss"})", "\"value\""},
      {FactKind::reading, R"({"kind":"guess","value":1})", "\"kind\""},
      {FactKind::reading, R"({"kind":"loss","value":"much"})", "\"value\""},
      {FactKind::strand, R"({"fibre":"OM9"})", "\"fibre\""},
      {FactKind::strand, R"({"link":7})", "\"link\""},
      {FactKind::strand, R"({"splices":0.5})", "\"splices\""},
      {FactKind::correction, R"({"fact":"no"})", "\"fact\""},
      {FactKind::import, R"({"purpose":"readings"})", "\"sha256\""},
      {FactKind::calibration, R"({"from":"2025-02-30","instrument":"M","through":"2026-01-01"})", "\"from\""},
  };
  for (const UnreadableBody& row : cases)
    EXPECT_NE(refusal(row.kind, row.body).find(row.named), std::string::npos) << row.body;
}

}  // namespace
}  // namespace strandbook
