#include "edge/book/sqlite_appender.hpp"

#include <algorithm>

namespace strandbook {
namespace {

using Step = SqliteStatement::Step;

constexpr std::string_view insert_fact_sql =
    "INSERT INTO facts (id, device, sequence, time_ms, kind, subject, target, body, previous, hash) "
    "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)";
constexpr std::string_view insert_subject_sql =
    "INSERT INTO subjects (link, strand) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
constexpr std::string_view find_subject_sql = "SELECT row FROM subjects WHERE link = ?1 AND strand = ?2";
constexpr std::string_view end_of_chain_sql =
    "SELECT id, sequence, hash FROM facts WHERE device = ?1 ORDER BY sequence DESC LIMIT 1";

Result<std::int64_t> device_row(const SqliteConnection& connection, const Device& device) {
  Result<SqliteStatement> insert =
      connection.prepare("INSERT INTO devices (id) VALUES (?1) ON CONFLICT DO NOTHING");
  if (!insert) return insert.problem();
  insert->bind_blob(1, device.id.bytes);
  const Result<Step> inserted = insert->step();
  if (!inserted) return inserted.problem();
  Result<SqliteStatement> find = connection.prepare("SELECT row FROM devices WHERE id = ?1");
  if (!find) return find.problem();
  find->bind_blob(1, device.id.bytes);
  const Result<Step> found = find->step();
  if (!found) return found.problem();
  return find->integer(0);
}

}  // namespace

SqliteAppender::SqliteAppender(const SqliteConnection& connection, const Surroundings& surroundings,
                               SqliteStatement insert, SqliteStatement insert_subject,
                               SqliteStatement find_subject)
    : connection_(connection),
      random_(surroundings.random),
      now_ms_(surroundings.now_ms()),
      insert_(std::move(insert)),
      insert_subject_(std::move(insert_subject)),
      find_subject_(std::move(find_subject)) {}

Result<SqliteAppender> SqliteAppender::begin(const SqliteConnection& connection, const Device& device,
                                             const Surroundings& surroundings) {
  Result<SqliteStatement> insert = connection.prepare(insert_fact_sql);
  if (!insert) return insert.problem();
  Result<SqliteStatement> insert_subject = connection.prepare(insert_subject_sql);
  if (!insert_subject) return insert_subject.problem();
  Result<SqliteStatement> find_subject = connection.prepare(find_subject_sql);
  if (!find_subject) return find_subject.problem();
  SqliteAppender appender(connection, surroundings, std::move(*insert), std::move(*insert_subject),
                          std::move(*find_subject));
  const Result<Done> ready = appender.find_end_of_chain(device);
  if (!ready) return ready.problem();
  return appender;
}

Result<Done> SqliteAppender::find_end_of_chain(const Device& device) {
  const Result<std::int64_t> row = device_row(connection_, device);
  if (!row) return row.problem();
  device_row_ = *row;
  last_.device = device.id;
  last_.time_ms = now_ms_;
  Result<SqliteStatement> end = connection_.prepare(end_of_chain_sql);
  if (!end) return end.problem();
  end->bind(1, device_row_);
  const Result<Step> step = end->step();
  if (!step) return step.problem();
  if (*step == Step::end) return Done{};
  last_.id = bytes_as<Uuid>(end->bytes(0));
  last_.sequence = end->integer(1);
  last_.hash = bytes_as<Sha256>(end->bytes(2));
  return Done{};
}

Result<std::int64_t> SqliteAppender::row_of(const Subject& subject) {
  // A strand's rows mostly follow each other.
  if (subject == last_subject_) return last_subject_row_;
  const Result<std::int64_t> row = look_up_row_of(subject);
  if (!row) return row.problem();
  last_subject_ = subject;
  return last_subject_row_ = *row;
}

Result<std::int64_t> SqliteAppender::look_up_row_of(const Subject& subject) {
  std::string key = subject.link;
  key += '\0';
  key += subject.strand;
  const auto known = subject_rows_.find(key);
  if (known != subject_rows_.end()) return known->second;
  for (SqliteStatement* statement : {&insert_subject_, &find_subject_}) {
    statement->bind_text(1, subject.link);
    statement->bind_text(2, subject.strand);
    const Result<Step> step = statement->step();
    if (!step) return step.problem();
  }
  const std::int64_t row = find_subject_.integer(0);
  find_subject_.reset();
  subject_rows_.emplace(std::move(key), row);
  return row;
}

Result<Done> SqliteAppender::insert(const Fact& fact) {
  insert_.bind_blob(1, fact.id.bytes);
  insert_.bind(2, device_row_);
  insert_.bind(3, fact.sequence);
  insert_.bind(4, fact.time_ms);
  insert_.bind_text(5, text_of(fact.kind));
  insert_.bind_null(6);
  insert_.bind_null(7);
  if (!fact.subject.empty()) {
    const Result<std::int64_t> row = row_of(fact.subject);
    if (!row) return row.problem();
    insert_.bind(6, *row);
  }
  if (fact.target) insert_.bind_blob(7, fact.target->bytes);
  insert_.bind_text(8, fact.body);
  insert_.bind_blob(9, fact.previous.bytes);
  insert_.bind_blob(10, fact.hash.bytes);
  const Result<Step> step = insert_.step();
  if (!step) return step.problem();
  return Done{};
}

Result<Done> SqliteAppender::add(FactDraft draft) {
  last_.id = next_uuid7(last_.id, now_ms_, random_);
  ++last_.sequence;
  last_.kind = draft.kind;
  last_.body = std::move(draft.body);
  last_.subject = std::move(draft.subject);
  last_.target = draft.target;
  last_.previous = last_.hash;
  last_.hash = fact_hash(last_);
  const Result<Done> inserted = insert(last_);
  if (!inserted) return inserted.problem();
  if (appended_.facts++ == 0) appended_.first = last_.id;
  appended_.last = last_.id;
  return Done{};
}

}  // namespace strandbook
