#include "edge/traces/trace_record.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "edge/traces/record_traces.hpp"
#include "edge/traces/sample_record_for_tests.hpp"
#include "edge/traces/trace_file.hpp"

namespace strandbook {
namespace {

using test::sample_record;

TraceRecord read_back(const std::string& bytes) {
  Result<TraceRecord> record = read_trace_record(bytes, "t.rec");
  EXPECT_TRUE(record) << describe(record.problem());
  return record ? std::move(*record) : TraceRecord{};
}

bool warned(const TraceRecord& record, const std::string& words) {
  for (const Problem& warning : record.warnings)
    if (describe(warning).find(words) != std::string::npos) return true;
  return false;
}

bool noted(const Trace& trace, const std::string& words) {
  for (const std::string& note : trace.notes)
    if (note.find(words) != std::string::npos) return true;
  return false;
}

std::string as_text(std::initializer_list<int> bytes) {
  std::string text;
  for (const int byte : bytes) text += static_cast<char>(byte);
  return text;
}

/// Overwrites bytes behind the only place where `name` stands with its zero byte in the map.
std::string with_map_size(std::string bytes, const std::string& name, std::int32_t size) {
  const std::size_t at = bytes.find(name + '\0') + name.size() + 3;
  for (std::size_t i = 0; i < 4; ++i)
    bytes[at + i] = static_cast<char>(static_cast<std::uint32_t>(size) >> (8 * i) & 0xFFU);
  return bytes;
}

TEST(TraceRecord, ChecksumHasItsPublishedCheckValue) {
  // SOURCE: CRC-16/CCITT-FALSE, catalogues of CRC algorithms: check("123456789") = 0x29B1; empty input
  // 0xFFFF.
  EXPECT_EQ(record_checksum("123456789"), 0x29B1);
  EXPECT_EQ(record_checksum(""), 0xFFFF);
}

TEST(TraceRecord, EveryFieldOfBothVersionsComesBack) {
  for (const RecordVersion version : {RecordVersion::one, RecordVersion::two}) {
    const TraceRecord record = sample_record(version);
    const std::string bytes = write_trace_record(record);
    const TraceRecord again = read_back(bytes);
    EXPECT_TRUE(again.warnings.empty()) << describe(again.warnings.at(0));
    EXPECT_EQ(again.version, version);
    EXPECT_EQ(again.general.cable, "NK-07");
    EXPECT_EQ(again.general.to, "Hall B");
    EXPECT_EQ(again.fixed.pulses.at(0).width_ns, 30);
    EXPECT_EQ(again.events.rows.size(), 3u);
    EXPECT_EQ(again.events.rows[2].code, "1E9999");
    EXPECT_EQ(again.data.samples, record.data.samples);
    EXPECT_EQ(write_trace_record(again), bytes);
  }
}

TEST(TraceRecord, LevelsLengthsAndIndexInTheirUnits) {
  const std::vector<Trace> traces = traces_of(sample_record());
  ASSERT_EQ(traces.size(), 1u);
  const Trace& trace = traces[0];
  EXPECT_NEAR(trace.step.value, 0.5, 1e-5);
  EXPECT_NEAR(trace.settings.index.value, 1.468, 1e-9);
  EXPECT_NEAR(trace.settings.wavelength.value, 1310.2, 1e-9);
  EXPECT_NEAR(trace.settings.backscatter->value, -80, 1e-9);
  EXPECT_NEAR(trace.settings.launch->value, 150, 0.02);
  EXPECT_NEAR(trace.level_db[100], -10 - 0.0175, 6e-4);
  EXPECT_NEAR(trace.stored.at(1).position.value, 350, 0.02);
  EXPECT_TRUE(trace.stored.at(2).end_of_fibre);
  EXPECT_FALSE(trace.scale_inferred);
}

TEST(TraceRecord, UnknownBlocksAreKeptByteForByte) {
  TraceRecord record = sample_record();
  record.opaque = {{"OwnBlock", 100, std::string("OwnBlock\0\x01\x02\xFF\0zz", 15)},
                   {"LnkParams", 200, std::string("LnkParams\0\0\0", 12)}};
  record.block_order = {"GenParams", "OwnBlock",  "SupParams", "FxdParams",
                        "LnkParams", "KeyEvents", "DataPts"};
  const std::string bytes = write_trace_record(record);
  const TraceRecord again = read_back(bytes);
  ASSERT_EQ(again.opaque.size(), 2u);
  EXPECT_EQ(again.opaque[0].bytes, record.opaque[0].bytes);
  EXPECT_EQ(write_trace_record(again), bytes);
}

TEST(TraceRecord, TextWithoutItsZeroByteStopsAtTheBlockEnd) {
  std::string bytes = write_trace_record(sample_record());
  const std::size_t fixed = bytes.find(std::string("FxdParams\0", 10), bytes.find("Test bench"));
  bytes[fixed - 1] = 'X';  // the zero byte that ends the supplier's last text
  const TraceRecord record = read_back(bytes);
  EXPECT_TRUE(warned(record, "without its closing zero byte"));
  EXPECT_EQ(record.supplier.other, "X");
  EXPECT_EQ(record.data.samples.size(), 1200u);
}

TEST(TraceRecord, CodeWrittenAsTextIsToldAsSurplusBytes) {
  std::string bytes = write_trace_record(sample_record());
  const std::size_t general = bytes.find(std::string("GenParams\0EN", 12));
  bytes.insert(general + 12, 1, '\0');  // the language code as a closed text
  const std::size_t entry = bytes.find(std::string("GenParams\0", 10)) + 12;
  bytes[entry] = static_cast<char>(bytes[entry] + 1);
  const TraceRecord record = read_back(bytes);
  EXPECT_TRUE(warned(record, "GenParams"));
  EXPECT_EQ(record.data.samples.size(), 1200u);
}

TEST(TraceRecord, SizesOfTheMapThatCannotBe) {
  const std::string sound = write_trace_record(sample_record());
  for (const std::int32_t size : {0, -5, 2'000'000'000}) {
    const TraceRecord record = read_back(with_map_size(sound, "SupParams", size));
    EXPECT_TRUE(warned(record, "in the map")) << size;
    EXPECT_EQ(record.data.samples.size(), 1200u);
    EXPECT_EQ(record.fixed.group_index, 146800);
  }
}

TEST(TraceRecord, BlockThatStandsElsewhereIsFoundByItsName) {
  const std::string sound = write_trace_record(sample_record());
  const TraceRecord record = read_back(with_map_size(sound, "GenParams", 20));
  EXPECT_TRUE(warned(record, "as the map says"));
  EXPECT_EQ(record.fixed.group_index, 146800);
  EXPECT_EQ(record.data.samples.size(), 1200u);
}

TEST(TraceRecord, SameBlockTwiceCountsOnce) {
  TraceRecord record = sample_record();
  record.opaque = {{"SupParams", 200, std::string("SupParams\0other\0\0\0\0\0\0\0", 22)}};
  record.block_order = {"GenParams", "SupParams", "FxdParams", "KeyEvents", "DataPts", "SupParams"};
  const TraceRecord again = read_back(write_trace_record(record));
  EXPECT_TRUE(warned(again, "the same block again"));
  EXPECT_EQ(again.supplier.supplier, "Test bench");
  ASSERT_EQ(again.opaque.size(), 1u);
}

TEST(TraceRecord, ChecksumWrongMissingOrNotLastIsAWarning) {
  std::string bytes = write_trace_record(sample_record());
  const std::string sound = bytes;
  bytes.back() = static_cast<char>(bytes.back() ^ 0x5A);
  EXPECT_TRUE(warned(read_back(bytes), "computed over the file"));
  EXPECT_TRUE(warned(read_back(sound + "tail"), "bytes after the checksum"));
  EXPECT_TRUE(warned(read_back(sound.substr(0, sound.size() - 8)), "checksum"));
}

TEST(TraceRecord, SeveralPulsesFollowOneAnother) {
  TraceRecord record = sample_record();
  record.fixed.pulses = {{10, record.fixed.pulses[0].spacing, 500},
                         {20000, 2 * record.fixed.pulses[0].spacing, 700}};
  record.fixed.acquisition_range = 0;
  const std::vector<Trace> traces = traces_of(read_back(write_trace_record(record)));
  ASSERT_EQ(traces.size(), 2u);
  EXPECT_EQ(traces[0].level_db.size(), 500u);
  EXPECT_EQ(traces[1].level_db.size(), 700u);
  EXPECT_EQ(traces[1].settings.pulse_ns, 20000);
  EXPECT_NEAR(traces[1].step.value, 1.0, 1e-4);
  EXPECT_EQ(traces[1].first.value, traces[0].first.value);
}

TEST(TraceRecord, NoPulseOrTooManyIsRefused) {
  TraceRecord record = sample_record();
  record.fixed.pulses.clear();
  const Result<TraceRecord> none = read_trace_record(write_trace_record(record), "t.rec");
  ASSERT_FALSE(none);
  EXPECT_NE(describe(none.problem()).find("pulse width"), std::string::npos);
  record.fixed.pulses.assign(65, {10, 1, 1});
  EXPECT_FALSE(read_trace_record(write_trace_record(record), "t.rec"));
}

TEST(TraceRecord, EachScaleGroupHasItsFactorAndZeroIsOne) {
  TraceRecord record = sample_record();
  record.data.groups = {{600, 1000}, {300, 2000}, {300, 0}};
  const std::vector<Trace> traces = traces_of(read_back(write_trace_record(record)));
  const auto& samples = record.data.samples;
  EXPECT_NEAR(traces[0].level_db[0], -1e-3 * samples[0], 1e-9);
  EXPECT_NEAR(traces[0].level_db[700], -2e-3 * samples[700], 1e-9);
  EXPECT_NEAR(traces[0].level_db[1000], -1e-3 * samples[1000], 1e-9);
  EXPECT_TRUE(noted(traces[0], "scale factor of 0"));
}

TEST(TraceRecord, SignOfTheOffsetIsProvedByStoredEvents) {
  for (const double first : {-40.0, 40.0}) {
    TraceRecord record = sample_record(RecordVersion::two, first);
    EXPECT_NEAR(traces_of(record).at(0).first.value, first, 0.02);
    record.fixed.acquisition_offset = -record.fixed.acquisition_offset;  // a writer with the other sign
    const Trace turned = traces_of(record).at(0);
    EXPECT_NEAR(turned.first.value, first, 0.02);
    EXPECT_TRUE(noted(turned, "stored events meet the edges"));
    record.events.rows.clear();
    EXPECT_TRUE(noted(traces_of(record).at(0), "for want of proof"));
  }
}

TEST(TraceRecord, ChangeOfIndexRescalesStepAndPositions) {
  TraceRecord record = sample_record(RecordVersion::two, 40);
  record.fixed.group_index = 149736;  // 2 % more
  const Trace trace = traces_of(record).at(0);
  EXPECT_NEAR(trace.step.value, 0.5 / 1.02, 1e-5);
  EXPECT_NEAR(trace.stored.at(1).position.value, 350 / 1.02, 0.02);
  EXPECT_NEAR(trace.first.value, 40 / 1.02, 0.02);
}

TEST(TraceRecord, RangeInAnotherUnitMarksTheScaleAsInferred) {
  for (const double factor : {2.0, 0.5, 10.0}) {
    TraceRecord record = sample_record();
    record.fixed.acquisition_range = static_cast<std::int32_t>(record.fixed.acquisition_range / factor);
    const Trace trace = traces_of(record).at(0);
    EXPECT_TRUE(trace.scale_inferred) << factor;
    EXPECT_NEAR(trace.step.value, 0.5, 1e-5);
  }
}

TEST(TraceRecord, LossOfTheEndAndSaturationAreMarkedAsBounds) {
  TraceRecord record = sample_record();
  record.events.rows[1].code = "2F9999";
  const Trace trace = traces_of(record).at(0);
  EXPECT_TRUE(trace.stored[1].saturated);
  EXPECT_TRUE(trace.stored[2].end_of_fibre);
}

TEST(TraceRecord, TextsThatAreNotUtf8AreReadAsLatin1) {
  TraceRecord record = sample_record();
  record.general.from = as_text({'K', 0xF6, 'r', 'n'});
  record.general.to = "Z\xC3\xBCrn";
  const Trace trace = traces_of(read_back(write_trace_record(record))).at(0);
  EXPECT_EQ(trace.identity.from, "K\xC3\xB6rn");
  EXPECT_EQ(trace.identity.to, "Z\xC3\xBCrn");
}

TEST(TraceRecord, TimesBeyond2038AreRead) {
  TraceRecord record = sample_record();
  record.fixed.time_s = 4'000'000'000U;
  EXPECT_EQ(traces_of(read_back(write_trace_record(record))).at(0).identity.taken->seconds, 4'000'000'000);
}

TEST(TraceRecord, WavelengthInNanometresIsTaken) {
  TraceRecord record = sample_record();
  record.fixed.wavelength = 1310;
  const Trace trace = traces_of(record).at(0);
  EXPECT_EQ(trace.settings.wavelength.value, 1310);
  EXPECT_TRUE(noted(trace, "taken as nanometres"));
}

TEST(TraceRecord, BackscatterInAnySignOrScaleOrNone) {
  for (const int stored : {800, -800, 80, -80}) {
    TraceRecord record = sample_record();
    record.fixed.backscatter = static_cast<std::int16_t>(stored);
    EXPECT_EQ(traces_of(record).at(0).settings.backscatter->value, -80) << stored;
  }
  TraceRecord record = sample_record();
  record.fixed.backscatter = 3;
  EXPECT_FALSE(traces_of(record).at(0).settings.backscatter);
}

TEST(TraceRecord, InvertedSamplesAreTurned) {
  TraceRecord record = sample_record();
  for (std::uint16_t& sample : record.data.samples) sample = static_cast<std::uint16_t>(40000 - sample);
  const Trace trace = traces_of(record).at(0);
  EXPECT_TRUE(noted(trace, "inverted"));
  EXPECT_GT(trace.level_db[10], trace.level_db[1000]);
  EXPECT_FALSE(noted(traces_of(sample_record()).at(0), "inverted"));
}

TEST(TraceRecord, CountsBeyondTheirCapsReadWhatIsThere) {
  TraceRecord record = sample_record();
  record.data.groups[0].points = 2'000'000'000;
  std::string bytes = write_trace_record(record);
  EXPECT_EQ(read_back(bytes).data.samples.size(), 1200u);
}

TEST(TraceRecord, CutOffAnywhereIsReadOrRefusedNeverMore) {
  const std::string bytes = write_trace_record(sample_record());
  for (std::size_t size = 0; size < bytes.size(); ++size) {
    const Result<TraceFile> file = read_trace_file(bytes.substr(0, size), "t.rec");
    if (!file) {
      EXPECT_FALSE(file.problem().wanted.empty());
    }
  }
}

RC_GTEST_PROP(TraceRecordLaws, AnyMutationIsReadOrRefused, ()) {
  static const std::string sound = write_trace_record(sample_record());
  std::string bytes = sound;
  const auto places = *rc::gen::container<std::vector<std::size_t>>(8, rc::gen::inRange<std::size_t>(0, 700));
  for (const std::size_t at : places) bytes[at] = *rc::gen::arbitrary<char>();
  const Result<TraceFile> file = read_trace_file(bytes, "t.rec");
  if (file)
    for (const Trace& trace : file->traces) RC_ASSERT(trace.level_db.size() <= most_points);
}

}  // namespace
}  // namespace strandbook
