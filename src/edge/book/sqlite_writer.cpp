#include "edge/book/sqlite_writer.hpp"

#include <array>

namespace strandbook {
namespace {

using Step = SqliteStatement::Step;

constexpr std::array<std::string_view, 13> statements_sql = {
    "INSERT INTO facts (id, device, sequence, time_ms, kind, subject, target, body, previous, hash) "
    "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
    "INSERT INTO subjects (link, strand) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
    "SELECT row FROM subjects WHERE link = ?1 AND strand = ?2",
    "INSERT INTO devices (id) VALUES (?1) ON CONFLICT DO NOTHING", "SELECT row FROM devices WHERE id = ?1",
    "SELECT id, sequence, previous, hash FROM facts WHERE device = ?1 AND sequence = ?2",
    "SELECT 1 FROM facts WHERE id = ?1",
    "SELECT id, sequence, previous, hash FROM facts WHERE device = ?1 ORDER BY sequence DESC LIMIT 1",
    // A device has few keys and many facts: without the hint SQLite goes back through all of them.
    "SELECT body FROM facts INDEXED BY facts_by_kind WHERE kind = 'device key' AND kind <> 'reading' AND "
    "device = ?1 AND sequence <= ?2 ORDER BY sequence DESC LIMIT 1",
    "INSERT INTO heads (device, sequence, hash, signature) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING",
    "INSERT INTO files (sha256, bytes) SELECT ?1, ?2 WHERE NOT EXISTS (SELECT 1 FROM files WHERE sha256 = "
    "?1)",
    "INSERT INTO entries (entry, fact) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
    "SELECT fact FROM entries WHERE entry = ?1"};

std::span<const std::uint8_t> as_blob(std::string_view bytes) {
  return {reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()};
}

ChainPlace place_in(const SqliteStatement& row) {
  return {bytes_as<Uuid>(row.bytes(0)), row.integer(1), bytes_as<Sha256>(row.bytes(2)),
          bytes_as<Sha256>(row.bytes(3))};
}

Result<Done> run(SqliteStatement& statement) {
  const Result<Step> step = statement.step();
  if (!step) return step.problem();
  return Done{};
}

/// What the one row says, or nothing; the statement is ready again.
template <class Read>
auto one_row(SqliteStatement& statement, Read read) -> Result<std::optional<decltype(read(statement))>> {
  const Result<Step> step = statement.step();
  if (!step) return step.problem();
  std::optional<decltype(read(statement))> value;
  if (*step == Step::row) value = read(statement);
  statement.reset();
  return value;
}

}  // namespace

Result<std::unique_ptr<SqliteWriter>> SqliteWriter::begin(const SqliteConnection& connection) {
  std::vector<SqliteStatement> all;
  for (const std::string_view sql : statements_sql) {
    Result<SqliteStatement> statement = connection.prepare(sql);
    if (!statement) return statement.problem();
    all.push_back(std::move(*statement));
  }
  return std::unique_ptr<SqliteWriter>(new SqliteWriter(
      {std::move(all[0]), std::move(all[1]), std::move(all[2]), std::move(all[3]), std::move(all[4]),
       std::move(all[5]), std::move(all[6]), std::move(all[7]), std::move(all[8]), std::move(all[9]),
       std::move(all[10]), std::move(all[11]), std::move(all[12])}));
}

Result<std::int64_t> SqliteWriter::row_of(const Uuid& device) {
  if (const auto known = device_rows_.find(device); known != device_rows_.end()) return known->second;
  statements_.insert_device.bind_blob(1, device.bytes);
  if (const Result<Done> made = run(statements_.insert_device); !made) return made.problem();
  statements_.find_device.bind_blob(1, device.bytes);
  const auto row = one_row(statements_.find_device, [](const SqliteStatement& s) { return s.integer(0); });
  if (!row) return row.problem();
  return device_rows_[device] = row->value_or(0);
}

Result<ChainPlace> SqliteWriter::end_of_chain(const Uuid& device) {
  const Result<std::int64_t> row = row_of(device);
  if (!row) return row.problem();
  statements_.end.bind(1, *row);
  const auto end = one_row(statements_.end, place_in);
  if (!end) return end.problem();
  return end->value_or(ChainPlace{});
}

Result<std::optional<ChainPlace>> SqliteWriter::at(const Uuid& device, std::int64_t sequence) {
  const Result<std::int64_t> row = row_of(device);
  if (!row) return row.problem();
  statements_.place.bind(1, *row);
  statements_.place.bind(2, sequence);
  return one_row(statements_.place, place_in);
}

Result<bool> SqliteWriter::holds(const Uuid& fact) {
  statements_.id.bind_blob(1, fact.bytes);
  const auto found = one_row(statements_.id, [](const SqliteStatement&) { return true; });
  if (!found) return found.problem();
  return found->value_or(false);
}

Result<std::optional<Uuid>> SqliteWriter::recorded(std::string_view entry) {
  statements_.entry.bind_text(1, entry);
  return one_row(statements_.entry, [](const SqliteStatement& s) { return bytes_as<Uuid>(s.bytes(0)); });
}

Result<std::string> SqliteWriter::key_fact(const Uuid& device, std::int64_t up_to) {
  const Result<std::int64_t> row = row_of(device);
  if (!row) return row.problem();
  statements_.key.bind(1, *row);
  statements_.key.bind(2, up_to);
  const auto body =
      one_row(statements_.key, [](const SqliteStatement& s) { return std::string(s.bytes(0)); });
  if (!body) return body.problem();
  return body->value_or("");
}

Result<std::int64_t> SqliteWriter::row_of(const Subject& subject) {
  // A strand's rows mostly follow each other.
  if (subject == last_subject_) return last_subject_row_;
  const Result<std::int64_t> row = look_up_row_of(subject);
  if (!row) return row.problem();
  last_subject_ = subject;
  return last_subject_row_ = *row;
}

Result<std::int64_t> SqliteWriter::look_up_row_of(const Subject& subject) {
  std::string key = subject.link;
  key += '\0';
  key += subject.strand;
  const auto known = subject_rows_.find(key);
  if (known != subject_rows_.end()) return known->second;
  for (SqliteStatement* statement : {&statements_.insert_subject, &statements_.find_subject}) {
    statement->bind_text(1, subject.link);
    statement->bind_text(2, subject.strand);
    const Result<Done> done = run(*statement);
    if (!done) return done.problem();
  }
  const std::int64_t row = statements_.find_subject.integer(0);
  statements_.find_subject.reset();
  subject_rows_.emplace(std::move(key), row);
  return row;
}

Result<Done> SqliteWriter::add(const Fact& fact) {
  const Result<std::int64_t> device = row_of(fact.device);
  if (!device) return device.problem();
  SqliteStatement& insert = statements_.insert;
  insert.bind_blob(1, fact.id.bytes);
  insert.bind(2, *device);
  insert.bind(3, fact.sequence);
  insert.bind(4, fact.time_ms);
  insert.bind_text(5, text_of(fact.kind));
  insert.bind_null(6);
  insert.bind_null(7);
  if (!fact.subject.empty()) {
    const Result<std::int64_t> row = row_of(fact.subject);
    if (!row) return row.problem();
    insert.bind(6, *row);
  }
  if (fact.target) insert.bind_blob(7, fact.target->bytes);
  insert.bind_text(8, fact.body);
  insert.bind_blob(9, fact.previous.bytes);
  insert.bind_blob(10, fact.hash.bytes);
  const std::string_view entry = entry_in(fact.body);
  if (entry.empty()) return run(insert);
  statements_.insert_entry.bind_text(1, entry);
  statements_.insert_entry.bind_blob(2, fact.id.bytes);
  const Result<Done> noted = run(statements_.insert_entry);
  return noted ? run(insert) : noted;
}

Result<Done> SqliteWriter::add(const Head& head) {
  const Result<std::int64_t> device = row_of(head.device);
  if (!device) return device.problem();
  statements_.head.bind(1, *device);
  statements_.head.bind(2, head.sequence);
  statements_.head.bind_blob(3, head.hash.bytes);
  statements_.head.bind_blob(4, as_blob(head.signature));
  return run(statements_.head);
}

Result<Done> SqliteWriter::keep(const FileToKeep& file) {
  statements_.file.bind_blob(1, file.hash.bytes);
  statements_.file.bind_blob(2, as_blob(file.bytes));
  return run(statements_.file);
}

}  // namespace strandbook
