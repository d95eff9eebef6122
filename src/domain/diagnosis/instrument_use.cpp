#include "domain/diagnosis/instrument_use.hpp"

#include <algorithm>

#include "domain/plan/strand_index.hpp"

namespace strandbook {
namespace {

class UseCounter {
 public:
  explicit UseCounter(const Assessment& all) : all_(all) {}

  void take(std::uint32_t index) {
    const JudgedTest& test = all_.tests[index];
    if (test.reading == nothing) return;
    const Reading& reading = all_.readings.rows[test.reading];
    const std::string_view meter = meter_of(all_, test);
    const std::string_view source = source_of(all_, test);
    count(meter, index, reading, true);
    if (source != meter) count(source, index, reading, false);
  }
  std::vector<InstrumentUse> uses;

 private:
  // A source is stable, not calibrated, in many books: one that is not listed is not spoken of.
  void count(std::string_view name, std::uint32_t test, const Reading& reading, bool must_be_listed) {
    if (name.empty()) return;
    const std::size_t at = use_of(name);
    InstrumentUse& use = uses[at];
    if (!use.listed) {
      if (must_be_listed) use.any.push_back(test);
      return;
    }
    if (!reading.has_time || !reading.time.dated) {
      use.undated.push_back(test);
      return;
    }
    use.last_s = std::max(use.last_s, reading.time.seconds);
    const std::int64_t day = day_of(reading.time).seconds;
    const auto& rows = certificates_[at];
    const bool covered = std::any_of(rows.begin(), rows.end(), [day](const Calibration* row) {
      return row->from.seconds <= day && day <= row->through.seconds;
    });
    if (!covered) use.outside.push_back(test);
  }

  std::size_t use_of(std::string_view name) {
    for (std::size_t i = 0; i < uses.size(); ++i)
      if (uses[i].instrument == name) return i;
    std::vector<const Calibration*> rows = certificates_of(all_, name);
    uses.push_back({std::string(name), !rows.empty(), {}, {}, {}, 0});
    certificates_.push_back(std::move(rows));
    return uses.size() - 1;
  }

  const Assessment& all_;
  std::vector<std::vector<const Calibration*>> certificates_;  ///< beside uses
};

/// What the reading states, else what its reference states.
std::string_view stated(const Assessment& all, const JudgedTest& test, std::string_view by_reading,
                        std::string Reference::*by_reference) {
  if (!by_reading.empty() || test.reference == nothing) return by_reading;
  return all.references[test.reference].*by_reference;
}

}  // namespace

std::string_view meter_of(const Assessment& all, const JudgedTest& test) {
  return stated(all, test, all.readings.rows[test.reading].meter, &Reference::meter);
}

std::string_view source_of(const Assessment& all, const JudgedTest& test) {
  return stated(all, test, all.readings.rows[test.reading].source, &Reference::source);
}

std::vector<const Calibration*> certificates_of(const Assessment& all, std::string_view instrument) {
  const std::string tidied = tidy_name(instrument);
  std::vector<const Calibration*> rows;
  for (const Calibration& row : all.records.calibrations)
    if (!tidied.empty() && tidy_name(row.instrument) == tidied) rows.push_back(&row);
  return rows;
}

std::vector<InstrumentUse> instruments_in_use(const Assessment& all, std::uint32_t first_test,
                                              std::uint32_t last_test) {
  if (all.records.calibrations.empty()) return {};
  UseCounter counter(all);
  for (std::uint32_t i = first_test; i < last_test; ++i) counter.take(i);
  return std::move(counter.uses);
}

}  // namespace strandbook
