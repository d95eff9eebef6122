#include "edge/traces/trace_table.hpp"

#include <fast_float/fast_float.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "edge/traces/trace_record.hpp"
#include "edge/traces/trace_senses.hpp"

namespace strandbook {
namespace {

constexpr std::string_view form_sign = "# otdr-table";
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

std::string_view stripped(std::string_view text) {
  const std::size_t from = text.find_first_not_of(" \t\r");
  if (from == std::string_view::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t\r") - from + 1);
}

std::optional<double> number_in(std::string_view text, bool comma) {
  text = stripped(text);
  if (!text.empty() && text.front() == '+') text.remove_prefix(1);
  double value = 0;
  const fast_float::parse_options options{fast_float::chars_format::general, comma ? ',' : '.'};
  const auto read = fast_float::from_chars_advanced(text.data(), text.data() + text.size(), value, options);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size() || !std::isfinite(value))
    return std::nullopt;
  return value;
}

class TableReading {
 public:
  TableReading(std::string_view bytes, const std::string& file) : bytes_(bytes), file_(file) {}

  Result<Trace> read() {
    if (bytes_.substr(0, byte_order_mark.size()) == byte_order_mark)
      bytes_.remove_prefix(byte_order_mark.size());
    while (!problem_ && next_line()) take_line();
    if (!problem_) take_settings();
    if (!problem_) take_samples();
    if (problem_) return *problem_;
    return std::move(trace_);
  }

 private:
  bool next_line() {
    if (bytes_.empty()) return false;
    const std::size_t end = std::min(bytes_.find('\n'), bytes_.size());
    line_ = stripped(bytes_.substr(0, end));
    bytes_.remove_prefix(std::min(end + 1, bytes_.size()));
    ++row_;
    return true;
  }

  void refuse(std::string found, std::string wanted, std::string advice, std::size_t row,
              std::string column = {}) {
    if (!problem_)
      problem_ = Problem{
          {file_, {}, row, std::move(column)}, std::move(found), std::move(wanted), std::move(advice)};
  }

  void take_line() {
    if (line_.empty()) return;
    if (line_.front() == '#') return take_header(line_.substr(1));
    if (delimiter_ == 0) return take_heading();
    const std::size_t split = line_.find(delimiter_);
    const auto distance = number_in(line_.substr(0, split), comma());
    const auto level =
        split == std::string_view::npos ? std::nullopt : number_in(line_.substr(split + 1), comma());
    if (!distance || !level)
      return refuse(fmt::format("\"{}\"", line_.substr(0, 60)), "a distance in metres and a level",
                    "Correct the row or export the table again.", row_, distance ? "level_db" : "distance_m");
    if (!distances_.empty() && *distance <= distances_.back())
      return refuse(fmt::format("{} m after {} m", *distance, distances_.back()), "distances that rise",
                    "Sort the table, and see that it holds one trace only.", row_, "distance_m");
    if (distances_.size() >= most_points)
      return refuse("more samples", fmt::format("at most {}", most_points), "Split the table.", row_);
    distances_.push_back(*distance);
    trace_.level_db.push_back(*level);
  }

  bool comma() const { return delimiter_ == ';'; }

  void take_heading() {
    for (const char delimiter : {';', '\t', ','})
      if (line_.find(delimiter) != std::string_view::npos && delimiter_ == 0) delimiter_ = delimiter;
    if (delimiter_ == 0 || line_.substr(0, 10) != "distance_m")
      refuse(fmt::format("\"{}\"", line_.substr(0, 60)), "the heading distance_m,level_db",
             "Write the heading above the samples.", row_);
  }

  /// "key=value" pairs parted by blanks; a value may hold single blanks up to the next key.
  void take_header(std::string_view text) {
    std::size_t sign = text.find('=');
    while (sign != std::string_view::npos) {
      const std::string_view before = text.substr(0, sign);
      const std::size_t blank = before.find_last_of(" \t");
      const std::string key(before.substr(blank == std::string_view::npos ? 0 : blank + 1));
      const std::size_t next = text.find('=', sign + 1);
      std::size_t end = text.size();
      if (next != std::string_view::npos)
        end = std::max(sign + 1, text.substr(0, next).find_last_of(" \t") + 1);
      const std::string value(stripped(text.substr(sign + 1, end - sign - 1)));
      if (header_.size() < 64) header_[key] = {value, row_};
      text = text.substr(end);
      sign = text.find('=');
    }
  }

  std::string word(const char* key) const {
    const auto found = header_.find(key);
    return found == header_.end() ? std::string() : found->second.first;
  }

  std::optional<double> setting(const char* key, double least, double most) {
    const auto found = header_.find(key);
    if (found == header_.end() || found->second.first.empty()) return std::nullopt;
    const auto value = number_in(found->second.first, false);
    if (value && *value >= least && *value <= most) return value;
    refuse(fmt::format("{}={}", key, found->second.first),
           fmt::format("a number from {:g} to {:g}", least, most),
           "Correct the value in the lines that begin with #.", found->second.second, key);
    return std::nullopt;
  }

  double wanted(const char* key, double least, double most) {
    const auto value = setting(key, least, most);
    if (!value)
      refuse(fmt::format("no {}", key),
             fmt::format("# {}=... above the samples, {:g} to {:g}", key, least, most),
             "A result would rest on it, so it is not guessed. Read it off the instrument.", 0);
    return value.value_or(least);
  }

  void take_identity() {
    TraceIdentity& identity = trace_.identity;
    identity.cable = word("cable");
    identity.fibre = word("fibre");
    identity.from = word("from");
    identity.to = word("to");
    identity.operator_name = word("operator");
    identity.instrument = word("otdr_serial");
    identity.comment = word("comment");
    identity.direction = parse_direction(word("direction"));
    if (const std::string taken = word("taken"); !taken.empty()) {
      identity.taken = parse_instant(taken);
      if (!identity.taken) trace_.notes.push_back(fmt::format("The time \"{}\" could not be read.", taken));
    }
  }

  static std::optional<Instant> parse_instant(const std::string& text);

  void take_settings() {
    take_identity();
    TraceSettings& settings = trace_.settings;
    settings.wavelength = {wanted("wavelength_nm", 600, 1700)};
    settings.pulse_ns = wanted("pulse_ns", 0.1, 100000);
    settings.index = {wanted("group_index", 1.3, 1.6)};
    if (const auto b = setting("backscatter_1ns_db", -95, -55)) settings.backscatter = Decibels{*b};
    if (const auto launch = setting("launch_m", 0, 50000)) settings.launch = Metres{*launch};
    if (const auto tail = setting("tail_m", 0, 50000)) settings.receive = Metres{*tail};
    settings.averages = setting("averages", 0, 1e12).value_or(0);
    settings.averaging_s = setting("averaging_s", 0, 1e6).value_or(0);
    if (!settings.backscatter)
      trace_.notes.emplace_back(
          "No backscatter coefficient is given; without it reflectances are not stated.");
  }

  void take_samples() {
    if (distances_.size() < 16)
      return refuse(fmt::format("{} samples", distances_.size()), "at least 16", "Export the whole trace.",
                    0);
    const std::string level = word("level");
    const std::string sign = word("sign");
    if (level != "oneway_db" && level != "twoway_db" && level != "linear")
      return refuse(level.empty() ? "no level" : "level=" + level, "level=oneway_db, twoway_db or linear",
                    "5·log10 of the light is one-way; 10·log10 doubles every loss.", 0);
    if (sign != "up" && sign != "down" && level != "linear")
      return refuse(sign.empty() ? "no sign" : "sign=" + sign, "sign=up (higher = more light) or sign=down",
                    {}, 0);
    // No OTDR samples finer or coarser; beyond these sums of distances mean nothing.
    const double step = (distances_.back() - distances_.front()) / static_cast<double>(distances_.size() - 1);
    if (!(step >= 1e-3 && step <= 1e3 && std::abs(distances_.front()) <= 1e6))
      return refuse(fmt::format("samples {:g} m apart from {:g} m on", step, distances_.front()),
                    "0.001 to 1000 m, from within 1000 km", "See the unit of the distances.", 0);
    for (double& value : trace_.level_db) {
      if (level == "linear") value = value > 0 ? 5 * std::log10(value) : -1e6;
      if (level == "twoway_db") value /= 2;
      if (sign == "down" && level != "linear") value = -value;
    }
    if (level == "linear") trace_.floor_db = -1e6;
    if (looks_inverted(trace_.level_db))
      trace_.notes.emplace_back("The level rises along the fibre: see the sign.");
    settle_spacing();
  }

  /// An uneven table is brought to even steps; small unevenness is rounding.
  void settle_spacing() {
    const std::size_t count = distances_.size();
    const double step = (distances_.back() - distances_.front()) / static_cast<double>(count - 1);
    trace_.first = {distances_.front()};
    trace_.step = {step};
    double worst = 0;
    for (std::size_t i = 0; i < count; ++i)
      worst = std::max(worst, std::abs(distances_[i] - distances_.front() - step * static_cast<double>(i)));
    if (worst <= 0.51 * step) return;
    std::vector<double> even(count);
    std::size_t at = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const double z = distances_.front() + step * static_cast<double>(i);
      while (at + 2 < count && distances_[at + 1] < z) ++at;
      const double share = (z - distances_[at]) / (distances_[at + 1] - distances_[at]);
      even[i] =
          trace_.level_db[at] + std::clamp(share, 0.0, 1.0) * (trace_.level_db[at + 1] - trace_.level_db[at]);
    }
    trace_.level_db = std::move(even);
    trace_.notes.emplace_back("The distances are uneven: the levels were brought to even steps.");
  }

  std::string_view bytes_;
  const std::string& file_;
  std::string_view line_;
  std::size_t row_ = 0;
  char delimiter_ = 0;
  std::map<std::string, std::pair<std::string, std::size_t>> header_;
  std::vector<double> distances_;
  Trace trace_;
  std::optional<Problem> problem_;
};

/// Days since 1970-01-01 of a date of the Gregorian calendar.
std::int64_t days_of(std::int64_t year, std::int64_t month, std::int64_t day) {
  year -= month <= 2 ? 1 : 0;
  const std::int64_t era = (year >= 0 ? year : year - 399) / 400;
  const std::int64_t of_era = year - era * 400;
  const std::int64_t of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
  return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

/// ISO 8601 with seconds, and an offset or none.
std::optional<Instant> TableReading::parse_instant(const std::string& text) {
  int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0, used = 0;
  if (std::sscanf(text.c_str(), "%4d-%2d-%2dT%2d:%2d:%2d%n", &year, &month, &day, &hour, &minute, &second,
                  &used) < 6)
    return std::nullopt;
  if (month < 1 || month > 12 || day < 1 || day > 31 || hour < 0 || hour > 24 || minute < 0 || minute > 59)
    return std::nullopt;
  Instant at{days_of(year, month, day) * 86400 + hour * 3600L + minute * 60L + second, true, true, false};
  const std::string zone = text.substr(static_cast<std::size_t>(used));
  if (zone == "Z") at.zoned = true;
  int zone_hours = 0, zone_minutes = 0;
  if (std::sscanf(zone.c_str(), "%3d:%2d", &zone_hours, &zone_minutes) == 2) {
    const int sign = zone.front() == '-' ? -1 : 1;
    at.seconds -= zone_hours * 3600 + sign * zone_minutes * 60;
    at.zoned = true;
  }
  return at;
}

}  // namespace

bool is_trace_table(std::string_view bytes) {
  if (bytes.substr(0, byte_order_mark.size()) == byte_order_mark) bytes.remove_prefix(byte_order_mark.size());
  return bytes.substr(0, form_sign.size()) == form_sign;
}

Result<Trace> read_trace_table(std::string_view bytes, const std::string& file) {
  return TableReading(bytes, file).read();
}

std::string write_trace_table(const Trace& trace) {
  const TraceSettings& s = trace.settings;
  std::string out = "# otdr-table 1\n";
  out += fmt::format("# wavelength_nm={} pulse_ns={} group_index={}", s.wavelength.value, s.pulse_ns,
                     s.index.value);
  if (s.backscatter) out += fmt::format(" backscatter_1ns_db={}", s.backscatter->value);
  out += "\n# level=oneway_db sign=up";
  if (trace.identity.direction) out += fmt::format(" direction={}", text_of(*trace.identity.direction));
  const std::pair<const char*, const std::string*> words[] = {{"cable", &trace.identity.cable},
                                                              {"fibre", &trace.identity.fibre},
                                                              {"from", &trace.identity.from},
                                                              {"to", &trace.identity.to},
                                                              {"operator", &trace.identity.operator_name},
                                                              {"otdr_serial", &trace.identity.instrument},
                                                              {"comment", &trace.identity.comment}};
  for (const auto& [key, value] : words) {
    if (value->empty()) continue;
    std::string plain = *value;
    std::replace_if(
        plain.begin(), plain.end(), [](char c) { return c == '\n' || c == '\r' || c == '='; }, ' ');
    out += fmt::format("\n# {}={}", key, plain);
  }
  if (s.launch) out += fmt::format("\n# launch_m={}", s.launch->value);
  if (s.receive) out += fmt::format("\n# tail_m={}", s.receive->value);
  if (s.averages > 0) out += fmt::format("\n# averages={}", s.averages);
  if (s.averaging_s > 0) out += fmt::format("\n# averaging_s={}", s.averaging_s);
  if (trace.identity.taken) out += "\n# taken=" + iso_text(*trace.identity.taken);
  out += "\ndistance_m,level_db\n";
  auto to = std::back_inserter(out);
  for (std::size_t i = 0; i < trace.level_db.size(); ++i)
    fmt::format_to(to, "{:.4f},{:.3f}\n", trace.position_of(static_cast<double>(i)).value, trace.level_db[i]);
  return out;
}

}  // namespace strandbook
