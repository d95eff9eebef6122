#include "edge/book/postgres_writer.hpp"

#include <algorithm>
#include <utility>

namespace strandbook {
namespace {

constexpr std::size_t most_waiting = std::size_t{8} << 20U;
constexpr std::int64_t most_ahead = 4096;

// The binary form of COPY: PostgreSQL 15 documentation, SQL command COPY, "Binary Format".
constexpr std::string_view copy_start{"PGCOPY\n\377\r\n\0\0\0\0\0\0\0\0\0", 19};
constexpr std::string_view copy_end{"\377\377", 2};

void append_number(std::string& out, std::uint64_t number, int bytes) {
  for (int i = bytes - 1; i >= 0; --i)
    out += static_cast<char>(number >> (8U * static_cast<unsigned>(i)) & 0xffU);
}

void append_cell(std::string& out, std::string_view bytes) {
  append_number(out, bytes.size(), 4);
  out += bytes;
}

void append_cell(std::string& out, std::int64_t number) {
  append_number(out, 8, 4);
  append_number(out, static_cast<std::uint64_t>(number), 8);
}

template <std::size_t size>
void append_cell(std::string& out, const std::array<std::uint8_t, size>& bytes) {
  append_cell(out, std::string_view(reinterpret_cast<const char*>(bytes.data()), size));
}

template <class T>
T from_bytes(std::string_view blob) {
  T value;
  std::copy_n(blob.begin(), std::min(blob.size(), value.bytes.size()), value.bytes.begin());
  return value;
}

}  // namespace

Result<std::int64_t> PostgresWriter::row_of(const Uuid& device) {
  if (const auto known = device_rows_.find(device); known != device_rows_.end()) return known->second;
  const std::vector<PostgresValue> id{pg(text_of(device))};
  const auto made = connection_.run("INSERT INTO devices (id) VALUES ($1::uuid) ON CONFLICT DO NOTHING", id);
  if (!made) return made.problem();
  const auto row = connection_.run("SELECT row FROM devices WHERE id = $1::uuid FOR UPDATE", id);
  if (!row) return row.problem();
  return device_rows_[device] = row->integer(0, 0);
}

Result<std::vector<ChainPlace>> PostgresWriter::places(const char* sql,
                                                       const std::vector<PostgresValue>& values) {
  if (Result<Done> sent = flush(); !sent) return sent.problem();
  const auto rows = connection_.run(sql, values);
  if (!rows) return rows.problem();
  std::vector<ChainPlace> found;
  found.reserve(static_cast<std::size_t>(rows->count()));
  for (int i = 0; i < rows->count(); ++i)
    found.push_back({from_bytes<Uuid>(rows->bytes(i, 0)), rows->integer(i, 1),
                     from_bytes<Sha256>(rows->bytes(i, 2)), from_bytes<Sha256>(rows->bytes(i, 3))});
  return found;
}

Result<ChainPlace> PostgresWriter::end_of_chain(const Uuid& device) {
  const Result<std::int64_t> row = row_of(device);
  if (!row) return row.problem();
  const auto end = places(
      "SELECT id, sequence, previous, hash FROM facts WHERE device = $1::bigint ORDER BY sequence DESC LIMIT "
      "1",
      {pg(*row)});
  if (!end) return end.problem();
  return end->empty() ? ChainPlace{} : end->front();
}

std::optional<ChainPlace> PostgresWriter::PlacesAhead::at(std::int64_t sequence) const {
  const auto place =
      std::lower_bound(places.begin(), places.end(), sequence,
                       [](const ChainPlace& each, std::int64_t wanted) { return each.sequence < wanted; });
  return place == places.end() || place->sequence != sequence ? std::nullopt : std::optional(*place);
}

Result<Done> PostgresWriter::look_ahead(std::int64_t device, std::int64_t sequence) {
  const bool goes_on = device == ahead_.device && sequence == ahead_.to + 1;
  const std::int64_t most = goes_on ? std::min(2 * ahead_.most, most_ahead) : 1;
  Result<std::vector<ChainPlace>> found = places(
      "SELECT id, sequence, previous, hash FROM facts WHERE device = $1::bigint AND sequence >= $2::bigint "
      "ORDER BY sequence LIMIT $3::bigint",
      {pg(device), pg(sequence), pg(most)});
  if (!found) return found.problem();
  const std::int64_t to = found->empty() ? sequence : found->back().sequence;
  ahead_ = {device, sequence, to, most, std::move(*found)};
  return Done{};
}

Result<std::optional<ChainPlace>> PostgresWriter::at(const Uuid& device, std::int64_t sequence) {
  const Result<std::int64_t> row = row_of(device);
  if (!row) return row.problem();
  if (!ahead_.hold(*row, sequence))
    if (const Result<Done> looked = look_ahead(*row, sequence); !looked) return looked.problem();
  return ahead_.at(sequence);
}

Result<bool> PostgresWriter::holds(const Uuid& fact) {
  if (Result<Done> sent = flush(); !sent) return sent.problem();
  const auto rows = connection_.run("SELECT 1 FROM facts WHERE id = $1::uuid", {pg(text_of(fact))});
  if (!rows) return rows.problem();
  return rows->count() > 0;
}

Result<std::optional<Uuid>> PostgresWriter::recorded(std::string_view entry) {
  if (Result<Done> sent = flush(); !sent) return sent.problem();
  // Two services that were sent the same entry wait for each other here.
  const auto locked = connection_.run("SELECT pg_advisory_xact_lock(hashtextextended($1, 0))", {pg(entry)});
  if (!locked) return locked.problem();
  const auto rows = connection_.run("SELECT fact FROM entries WHERE entry = $1", {pg(entry)});
  if (!rows) return rows.problem();
  if (rows->count() == 0) return std::optional<Uuid>{};
  return std::optional(from_bytes<Uuid>(rows->bytes(0, 0)));
}

Result<std::string> PostgresWriter::key_fact(const Uuid& device, std::int64_t up_to) {
  const Result<std::int64_t> row = row_of(device);
  if (!row) return row.problem();
  if (Result<Done> sent = flush(); !sent) return sent.problem();
  const auto rows = connection_.run(
      "SELECT body FROM facts WHERE kind = 'device key' AND device = $1::bigint AND sequence <= $2::bigint "
      // The sum keeps the planner from going back through all facts of the device.
      "ORDER BY sequence + 0 DESC LIMIT 1",
      {pg(*row), pg(up_to)});
  if (!rows) return rows.problem();
  return rows->count() == 0 ? std::string{} : std::string(rows->bytes(0, 0));
}

Result<Done> PostgresWriter::add(const Fact& fact) {
  const Result<std::int64_t> device = row_of(fact.device);
  if (!device) return device.problem();
  written_.insert(*device);
  if (ahead_.hold(*device, fact.sequence)) ahead_ = {};
  append_number(waiting_, 11, 2);
  append_cell(waiting_, fact.id.bytes);
  append_cell(waiting_, *device);
  append_cell(waiting_, fact.sequence);
  append_cell(waiting_, fact.time_ms);
  append_cell(waiting_, text_of(fact.kind));
  append_cell(waiting_, fact.subject.link);
  append_cell(waiting_, fact.subject.strand);
  if (fact.target)
    append_cell(waiting_, fact.target->bytes);
  else
    append_number(waiting_, 0xffffffffU, 4);
  append_cell(waiting_, fact.body);
  append_cell(waiting_, fact.previous.bytes);
  append_cell(waiting_, fact.hash.bytes);
  ++rows_waiting_;
  if (const std::string_view entry = entry_in(fact.body); !entry.empty()) {
    const auto noted =
        connection_.run("INSERT INTO entries (entry, fact) VALUES ($1, $2::uuid) ON CONFLICT DO NOTHING",
                        {pg(entry), pg(text_of(fact.id))});
    if (!noted) return noted.problem();
  }
  return waiting_.size() < most_waiting ? Result<Done>{Done{}} : flush();
}

Result<Done> PostgresWriter::flush() {
  if (rows_waiting_ == 0) return Done{};
  std::string content{copy_start};
  content += waiting_;
  content += copy_end;
  waiting_.clear();
  rows_waiting_ = 0;
  return connection_.copy_in(
      "COPY facts (id, device, sequence, time_ms, kind, link, strand, target, body, previous, hash) "
      "FROM STDIN (FORMAT binary)",
      content);
}

Result<Done> PostgresWriter::add(const Head& head) {
  const Result<std::int64_t> device = row_of(head.device);
  if (!device) return device.problem();
  written_.insert(*device);
  const auto done = connection_.run(
      "INSERT INTO heads (device, sequence, hash, signature) VALUES ($1::bigint, $2::bigint, $3, $4) "
      "ON CONFLICT DO NOTHING",
      {pg(*device), pg(head.sequence), pg_bytes(head.hash.bytes), pg_bytes(head.signature)});
  if (!done) return done.problem();
  return Done{};
}

Result<Done> PostgresWriter::keep(const FileToKeep& file) {
  const auto done =
      connection_.run("INSERT INTO files (sha256, bytes) VALUES ($1, $2) ON CONFLICT DO NOTHING",
                      {pg_bytes(file.hash.bytes), pg_bytes(file.bytes)});
  if (!done) return done.problem();
  return Done{};
}

Result<Done> PostgresWriter::finish() {
  if (Result<Done> sent = flush(); !sent) return sent;
  for (const std::int64_t device : written_) {
    const auto counted =
        connection_.run("UPDATE devices SET writes = writes + 1 WHERE row = $1::bigint", {pg(device)});
    if (!counted) return counted.problem();
  }
  return Done{};
}

}  // namespace strandbook
