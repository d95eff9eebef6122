#include "domain/rulebook/record_field.hpp"

namespace strandbook {
namespace {

// In the order of the list; the array's size makes the compiler count them.
constexpr std::array texts = {
    std::string_view("project"),
    std::string_view("owner"),
    std::string_view("installation date"),
    std::string_view("circuit id"),
    std::string_view("cable id"),
    std::string_view("tube id"),
    std::string_view("strand id"),
    std::string_view("strand colour"),
    std::string_view("both ends"),
    std::string_view("device names"),
    std::string_view("direction"),
    std::string_view("fibre type"),
    std::string_view("connector types"),
    std::string_view("cable type"),
    std::string_view("reel number"),
    std::string_view("designed length"),
    std::string_view("allowed length"),
    std::string_view("measured length"),
    std::string_view("connections"),
    std::string_view("splices"),
    std::string_view("splice losses"),
    std::string_view("polarity"),
    std::string_view("reference method"),
    std::string_view("reference value"),
    std::string_view("reference time"),
    std::string_view("test cords"),
    std::string_view("launch condition"),
    std::string_view("source wavelength"),
    std::string_view("meter wavelength"),
    std::string_view("instrument maker"),
    std::string_view("instrument model"),
    std::string_view("instrument serial"),
    std::string_view("instrument software"),
    std::string_view("calibration date"),
    std::string_view("received power"),
    std::string_view("loss"),
    std::string_view("mean loss of both directions"),
    std::string_view("return loss"),
    std::string_view("limit with its sum"),
    std::string_view("margin"),
    std::string_view("uncertainty"),
    std::string_view("outcome"),
    std::string_view("rule"),
    std::string_view("standard and edition"),
    std::string_view("trace index"),
    std::string_view("trace pulse"),
    std::string_view("trace range"),
    std::string_view("trace averages"),
    std::string_view("trace threshold"),
    std::string_view("trace backscatter"),
    std::string_view("trace plot"),
    std::string_view("launch cord lengths"),
    std::string_view("trace events"),
    std::string_view("closure shut"),
    std::string_view("end-face results"),
    std::string_view("temperature"),
    std::string_view("crew names"),
    std::string_view("date and time"),
    std::string_view("attempt"),
    std::string_view("action"),
    std::string_view("original file with checksum"),
};
static_assert(texts.size() == record_field_count);

}  // namespace

std::string_view text_of(RecordField field) { return texts.at(static_cast<std::size_t>(field)); }

std::optional<RecordField> parse_record_field(std::string_view text) {
  for (const RecordField field : every_record_field())
    if (text_of(field) == text) return field;
  return std::nullopt;
}

}  // namespace strandbook
