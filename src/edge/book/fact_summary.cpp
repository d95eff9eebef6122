#include "edge/book/fact_summary.hpp"

#include <fmt/format.h>

#include "edge/book/device_key.hpp"
#include "edge/book/domain_facts.hpp"

namespace strandbook {
namespace {

void add(std::string& line, const std::string& part) {
  if (part.empty()) return;
  if (!line.empty()) line += ", ";
  line += part;
}

void add_number(std::string& line, const FactFields& fields, const char* key, const char* form) {
  const std::optional<double> value = fields.number(key);
  if (value) add(line, fmt::format(fmt::runtime(form), *value));
}

void add_text(std::string& line, const FactFields& fields, const char* key, const char* form) {
  const std::string_view text = fields.text(key);
  if (!text.empty()) add(line, fmt::format(fmt::runtime(form), text));
}

std::string value_text(const FactFields& fields) {
  const std::string_view kind = fields.text("kind");
  const double value = fields.number("value").value_or(0);
  if (kind == "power") return fmt::format("power {} dBm", value);
  if (kind == "loss") return fmt::format("loss {} dB", value);
  return "no light";
}

std::string reading_text(const FactFields& fields) {
  std::string line = value_text(fields);
  add_number(line, fields, "wavelength_nm", "{} nm");
  add_text(line, fields, "direction", "{}");
  add_text(line, fields, "reference", "reference {}");
  add_text(line, fields, "operator", "by {}");
  const std::optional<Instant> time = fields.instant();
  if (time) add(line, iso_text(*time));
  return line;
}

std::string strand_text(const FactFields& fields) {
  std::string line;
  add_text(line, fields, "fibre", "{}");
  add_number(line, fields, "length_m", "{} m");
  add_number(line, fields, "connections", "{} connections");
  add_number(line, fields, "splices", "{} splices");
  add_text(line, fields, "rule", "rule {}");
  add_number(line, fields, "limit_db", "limit {} dB");
  return line;
}

std::string reference_text(const FactFields& fields) {
  std::string line{fields.text("id")};
  add_number(line, fields, "power_dbm", "{} dBm");
  add_number(line, fields, "wavelength_nm", "{} nm");
  add_text(line, fields, "method", "{}");
  return line;
}

std::string cord_check_text(const FactFields& fields) {
  std::string line{fields.text("cords")};
  add_number(line, fields, "wavelength_nm", "{} nm");
  add_number(line, fields, "forward_db", "{} dB");
  add_number(line, fields, "reversed_db", "turned round {} dB");
  add_number(line, fields, "allowed_db", "allowed {} dB");
  return line;
}

std::string calibration_text(const FactFields& fields) {
  return fmt::format("{} from {} to {}", fields.text("instrument"), fields.text("from"),
                     fields.text("through"));
}

std::string light_path_text(const FactFields& fields) {
  const std::string_view out = fields.text("out");
  return fmt::format("{} \u2192 {}", fields.text("in"), out.empty() ? "no light" : out);
}

std::string trace_text(const FactFields& fields) {
  std::string line;
  add_number(line, fields, "wavelength_nm", "{} nm");
  add_text(line, fields, "direction", "{}");
  add_number(line, fields, "pulse_ns", "pulse {} ns");
  add_number(line, fields, "length_m", "{:.1f} m");
  add_number(line, fields, "loss_db", "{:.3f} dB");
  return line;
}

std::string splice_text(const FactFields& fields) {
  std::string line;
  add_number(line, fields, "at_m", "{:.1f} m from A");
  add_number(line, fields, "attempt", "attempt {}");
  add_text(line, fields, "method", "{}");
  add_text(line, fields, "person", "by {}");
  return line;
}

std::string stamp_text(const FactFields& fields) {
  const std::optional<Instant> time = fields.instant();
  return fmt::format("{} {}", time ? iso_text(*time) : "", fields.text("authority"));
}

std::string correction_text(const FactFields& fields) {
  if (fields.has("body")) return "new values";
  return "withdrawn";
}

std::string key_text(const FactFields& fields) { return fingerprint_of(bytes_of_base64(fields.text("key"))); }

std::string retirement_text(const FactFields& fields) {
  return fmt::format("device {} after number {}", fields.text("device"), fields.integer("last").value_or(0));
}

std::string content_text(FactKind kind, const FactFields& fields) {
  switch (kind) {
    case FactKind::job:
      return std::string(fields.text("name"));
    case FactKind::import:
      return std::string(fields.text("file"));
    case FactKind::strand:
      return strand_text(fields);
    case FactKind::reference:
      return reference_text(fields);
    case FactKind::reading:
      return reading_text(fields);
    case FactKind::rule_choice:
      return std::string(fields.text("rule"));
    case FactKind::unread_row:
      return std::string(fields.text("found"));
    case FactKind::note:
    case FactKind::acknowledgement:
    case FactKind::sign_off:
      return std::string(fields.text("text"));
    case FactKind::correction:
      return correction_text(fields);
    case FactKind::cord_check:
      return cord_check_text(fields);
    case FactKind::device_key:
      return key_text(fields);
    case FactKind::device_retired:
      return retirement_text(fields);
    case FactKind::calibration:
      return calibration_text(fields);
    case FactKind::light_path:
      return light_path_text(fields);
    case FactKind::time_stamp:
      return stamp_text(fields);
    case FactKind::trace:
      return trace_text(fields);
    case FactKind::splice_attempt:
      return splice_text(fields);
  }
  return {};
}

}  // namespace

std::string summary_of(FactKind kind, const FactFields& fields, const std::string& file) {
  std::string line{text_of(kind)};
  const std::string content = content_text(kind, fields);
  if (!content.empty()) line += ": " + content;
  const Place at{file,
                 std::string(fields.text("sheet")),
                 static_cast<std::size_t>(fields.number("row").value_or(0)),
                 {}};
  if (at.row != 0) line += " (" + describe(at) + ")";
  return line;
}

}  // namespace strandbook
