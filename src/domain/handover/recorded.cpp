#include "domain/handover/recorded.hpp"

#include <algorithm>
#include <cmath>

#include "domain/diagnosis/instrument_use.hpp"
#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

/// A test with what stands around it.
struct TestRecord {
  const JobToHandOver& job;
  const JudgedTest& test;
  const ScheduledStrand& strand;
  const Reading& reading;
  const Reference* reference;  ///< null where a loss was recorded without one

  std::string_view meter() const { return meter_of(job.assessment, test); }
};

bool method_known(const TestRecord& at) {
  return at.strand.method || (at.reference != nullptr && at.reference->method);
}

bool meter_setting_known(const TestRecord& at) {
  return at.reading.meter_setting.value > 0 || (at.reference != nullptr && at.reference->meter_setting);
}

bool cords_known(const TestRecord& at) {
  return !at.reading.cords.empty() || (at.reference != nullptr && !at.reference->cords.empty());
}

bool calibrated(const TestRecord& at) { return !certificates_of(at.job.assessment, at.meter()).empty(); }

bool continuity_tried(const TestRecord& at) {
  const auto& strands = at.job.assessment.continuity.strands;
  return !strands.empty() && strands[at.test.strand].state != Continuity::not_tried;
}

/// Tests of one strand stand together.
bool both_directions_lost(const TestRecord& at) {
  const auto& tests = at.job.assessment.tests;
  const auto of_strand =
      std::equal_range(tests.begin(), tests.end(), at.test,
                       [](const JudgedTest& a, const JudgedTest& b) { return a.strand < b.strand; });
  return at.test.direction && std::any_of(of_strand.first, of_strand.second, [&at](const JudgedTest& other) {
           return other.wavelength == at.test.wavelength && other.has_loss &&
                  other.direction == opposite(*at.test.direction);
         });
}

bool in_schedule(const ScheduledStrand& strand, RecordField field) {
  switch (field) {
    case RecordField::circuit_id:
      return !link_name(strand).empty();
    case RecordField::cable_id:
      return !strand.cable.empty();
    case RecordField::both_ends:
      return !strand.end_a.empty() && !strand.end_b.empty();
    case RecordField::fibre_type:
      return strand.fibre.has_value();
    case RecordField::designed_length:
      return strand.length.has_value();
    case RecordField::connections:
      return strand.connections.has_value();
    default:
      return strand.splices.has_value();
  }
}

bool in_readings(const TestRecord& at, RecordField field) {
  switch (field) {
    case RecordField::direction:
      return at.reading.direction.has_value();
    case RecordField::measured_length:
      return !std::isnan(at.reading.length_m);
    case RecordField::reference_method:
      return method_known(at);
    case RecordField::reference_value:
      return at.reference != nullptr;
    case RecordField::reference_time:
      return at.reference != nullptr && at.reference->time;
    case RecordField::test_cords:
      return cords_known(at);
    case RecordField::meter_wavelength:
      return meter_setting_known(at);
    case RecordField::instrument_serial:
      return !at.meter().empty();
    case RecordField::received_power:
      return at.reading.kind != ReadingKind::loss;
    case RecordField::mean_loss:
      return both_directions_lost(at);
    case RecordField::crew_names:
      return !at.reading.operator_name.empty();
    default:
      return at.reading.has_time && at.reading.time.dated;
  }
}

}  // namespace

FieldHome home_of(RecordField field) {
  switch (field) {
    case RecordField::circuit_id:
    case RecordField::cable_id:
    case RecordField::both_ends:
    case RecordField::fibre_type:
    case RecordField::designed_length:
    case RecordField::connections:
    case RecordField::splices:
      return FieldHome::schedule;
    case RecordField::direction:
    case RecordField::measured_length:
    case RecordField::reference_method:
    case RecordField::reference_value:
    case RecordField::reference_time:
    case RecordField::test_cords:
    case RecordField::meter_wavelength:
    case RecordField::instrument_serial:
    case RecordField::received_power:
    case RecordField::mean_loss:
    case RecordField::crew_names:
    case RecordField::date_time:
      return FieldHome::readings;
    case RecordField::calibration_date:
    case RecordField::polarity:
      return FieldHome::records;
    case RecordField::project:
    case RecordField::strand_id:
    case RecordField::source_wavelength:
    case RecordField::loss:
    case RecordField::limit:
    case RecordField::margin:
    case RecordField::uncertainty:
    case RecordField::outcome:
    case RecordField::rule:
    case RecordField::standard_edition:
    case RecordField::attempt:
    case RecordField::action:  // looked at with the repeats
    case RecordField::original_file:
      return FieldHome::pack;
    default:
      return FieldHome::statement;
  }
}

bool recorded(const JobToHandOver& job, const JudgedTest& test, RecordField field) {
  const Assessment& all = job.assessment;
  const Reference* reference = test.reference == nothing ? nullptr : &all.references[test.reference];
  const TestRecord at{job, test, all.schedule[test.strand], all.readings.rows[test.reading], reference};
  switch (home_of(field)) {
    case FieldHome::pack:
      return field != RecordField::project || !job.name.empty();
    case FieldHome::schedule:
      return in_schedule(at.strand, field);
    case FieldHome::readings:
      return in_readings(at, field);
    case FieldHome::records:
      return field == RecordField::polarity ? continuity_tried(at) : calibrated(at);
    case FieldHome::statement:
      return false;
  }
  return false;
}

}  // namespace strandbook
