#include "edge/book/sqlite_store.hpp"

#include <exception>

#include "edge/book/sqlite_writer.hpp"

namespace strandbook {
namespace {

using Step = SqliteStatement::Step;

Problem unexpected(const std::string& path, const std::exception& error) {
  return {{path, {}, 0, {}}, error.what(), "enough memory and a book in order", "Nothing was half-written."};
}

std::string select_sql(const FactQuery& query) {
  // CROSS JOIN keeps SQLite to this order of tables, which yields the facts sorted.
  std::string sql =
      "SELECT f.id, d.id, f.sequence, f.time_ms, f.kind, s.link, s.strand, f.target, f.body, f.previous, "
      "f.hash ";
  const bool by_time = query.order != FactOrder::chain;
  sql += by_time ? "FROM facts f CROSS JOIN devices d ON d.row = f.device "
                 : "FROM devices d CROSS JOIN facts f ON f.device = d.row ";
  sql += "LEFT JOIN subjects s ON s.row = f.subject WHERE TRUE";
  if (query.kind) sql += " AND f.kind = ?1";
  // Lets SQLite see that the index that leaves readings out will do.
  if (query.kind && *query.kind != FactKind::reading) sql += " AND f.kind <> 'reading'";
  if (query.id) sql += " AND f.id = ?2";
  if (query.target) sql += " AND f.target = ?3";
  if (query.subject) sql += " AND f.subject = (SELECT row FROM subjects WHERE link = ?4 AND strand = ?5)";
  if (query.before) sql += " AND f.id < ?6";
  if (query.after) sql += " AND f.id > ?7";
  sql += by_time ? " ORDER BY f.id" : " ORDER BY d.id, f.sequence";
  if (query.order == FactOrder::latest) sql += " DESC";
  if (query.most) sql += " LIMIT " + std::to_string(*query.most);
  return sql;
}

void bind(SqliteStatement& statement, const FactQuery& query) {
  if (query.kind) statement.bind_text(1, text_of(*query.kind));
  if (query.id) statement.bind_blob(2, query.id->bytes);
  if (query.target) statement.bind_blob(3, query.target->bytes);
  if (query.before) statement.bind_blob(6, query.before->bytes);
  if (query.after) statement.bind_blob(7, query.after->bytes);
  if (!query.subject) return;
  statement.bind_text(4, query.subject->link);
  statement.bind_text(5, query.subject->strand);
}

Result<Done> fill(Fact& fact, const SqliteStatement& row, const std::string& path) {
  const std::optional<FactKind> kind = parse_fact_kind(row.bytes(4));
  if (!kind)
    return Problem{{path, {}, 0, {}},
                   "a fact of the unknown kind \"" + std::string(row.bytes(4)) + "\"",
                   "kinds of fact that this version knows",
                   "The book was made by a newer strandbook, or is damaged."};
  fact.id = bytes_as<Uuid>(row.bytes(0));
  fact.device = bytes_as<Uuid>(row.bytes(1));
  fact.sequence = row.integer(2);
  fact.time_ms = row.integer(3);
  fact.kind = *kind;
  fact.subject.link = row.bytes(5);
  fact.subject.strand = row.bytes(6);
  fact.target.reset();
  if (!row.is_null(7)) fact.target = bytes_as<Uuid>(row.bytes(7));
  fact.body = row.bytes(8);
  fact.previous = bytes_as<Sha256>(row.bytes(9));
  fact.hash = bytes_as<Sha256>(row.bytes(10));
  return Done{};
}

Result<Done> write_in_transaction(const SqliteConnection& connection,
                                  const std::function<Result<Done>(StoreWriter&)>& work) {
  Result<SqliteTransaction> transaction =
      SqliteTransaction::begin(connection, SqliteTransaction::Kind::write);
  if (!transaction) return transaction.problem();
  const SqliteGuardsOff guards_off(connection);
  const Result<std::unique_ptr<SqliteWriter>> writer = SqliteWriter::begin(connection);
  if (!writer) return writer.problem();
  const Result<Done> worked = work(**writer);
  if (!worked) return worked.problem();
  return transaction->commit();
}

}  // namespace

Result<Done> SqliteStore::write(const std::function<Result<Done>(StoreWriter&)>& work) {
  try {
    return write_in_transaction(connection_, work);
  } catch (const std::exception& error) {
    return unexpected(place(), error);
  }
}

Result<Done> SqliteStore::read_one(const FactQuery& query, const FactVisitor& visit) const {
  Result<SqliteStatement> statement = connection_.prepare(select_sql(query));
  if (!statement) return statement.problem();
  bind(*statement, query);
  Fact fact;
  for (;;) {
    const Result<Step> step = statement->step();
    if (!step) return step.problem();
    if (*step == Step::end) return Done{};
    const Result<Done> filled = fill(fact, *statement, place());
    if (!filled) return filled.problem();
    const Result<Done> visited = visit(fact);
    if (!visited) return visited.problem();
  }
}

Result<Done> SqliteStore::read(std::span<const FactQuery> queries, const FactVisitor& visit) const {
  try {
    // Inside an append the transaction stands already.
    std::optional<Result<SqliteTransaction>> moment;
    if (!connection_.in_transaction())
      moment.emplace(SqliteTransaction::begin(connection_, SqliteTransaction::Kind::read));
    if (moment && !*moment) return moment->problem();
    for (const FactQuery& query : queries) {
      const Result<Done> done = read_one(query, visit);
      if (!done) return done.problem();
    }
    return Done{};
  } catch (const std::exception& error) {
    return unexpected(place(), error);
  }
}

Result<std::vector<Subject>> SqliteStore::subjects() const {
  Result<SqliteStatement> statement = connection_.prepare("SELECT link, strand FROM subjects ORDER BY row");
  if (!statement) return statement.problem();
  std::vector<Subject> all;
  for (;;) {
    const Result<Step> step = statement->step();
    if (!step) return step.problem();
    if (*step == Step::end) return all;
    all.push_back({std::string(statement->bytes(0)), std::string(statement->bytes(1))});
  }
}

Result<Done> SqliteStore::read_heads(const std::optional<Uuid>& device, const HeadVisitor& visit) const {
  Result<SqliteStatement> statement = connection_.prepare(
      std::string("SELECT d.id, h.sequence, h.hash, h.signature FROM heads h JOIN devices d ON d.row = "
                  "h.device ") +
      (device ? "WHERE d.id = ?1 " : "") + "ORDER BY d.id, h.sequence");
  if (!statement) return statement.problem();
  if (device) statement->bind_blob(1, device->bytes);
  for (;;) {
    const Result<Step> step = statement->step();
    if (!step) return step.problem();
    if (*step == Step::end) return Done{};
    const Result<Done> visited =
        visit({bytes_as<Uuid>(statement->bytes(0)), statement->integer(1),
               bytes_as<Sha256>(statement->bytes(2)), std::string(statement->bytes(3))});
    if (!visited) return visited.problem();
  }
}

Result<std::optional<std::string>> SqliteStore::file(const Sha256& name) const {
  Result<SqliteStatement> statement = connection_.prepare("SELECT bytes FROM files WHERE sha256 = ?1");
  if (!statement) return statement.problem();
  statement->bind_blob(1, name.bytes);
  const Result<Step> step = statement->step();
  if (!step) return step.problem();
  if (*step == Step::end) return std::optional<std::string>{};
  return std::optional<std::string>{std::string(statement->bytes(0))};
}

Result<Done> SqliteStore::read_files(const FileVisitor& visit) const {
  Result<SqliteStatement> statement = connection_.prepare("SELECT sha256, bytes FROM files ORDER BY sha256");
  if (!statement) return statement.problem();
  for (;;) {
    const Result<Step> step = statement->step();
    if (!step) return step.problem();
    if (*step == Step::end) return Done{};
    const Result<Done> visited = visit(bytes_as<Sha256>(statement->bytes(0)), statement->bytes(1));
    if (!visited) return visited.problem();
  }
}

Result<StoreCounts> SqliteStore::counts() const {
  StoreCounts counts;
  Result<SqliteStatement> statement =
      connection_.prepare("SELECT kind, count(*) FROM facts WHERE kind <> 'reading' GROUP BY kind");
  if (!statement) return statement.problem();
  std::size_t others = 0;
  for (;;) {
    const Result<Step> step = statement->step();
    if (!step) return step.problem();
    if (*step == Step::end) break;
    const auto number = static_cast<std::size_t>(statement->integer(1));
    others += number;
    const std::optional<FactKind> kind = parse_fact_kind(statement->bytes(0));
    if (kind) counts.by_kind[static_cast<std::size_t>(*kind)] += number;
  }
  const Result<std::int64_t> facts = connection_.integer("SELECT count(*) FROM facts");
  if (!facts) return facts.problem();
  const Result<std::int64_t> files = connection_.integer("SELECT count(*) FROM files");
  if (!files) return files.problem();
  const Result<std::int64_t> devices = connection_.integer("SELECT count(*) FROM devices");
  if (!devices) return devices.problem();
  counts.facts = static_cast<std::size_t>(*facts);
  counts.by_kind[static_cast<std::size_t>(FactKind::reading)] = counts.facts - others;
  counts.files = static_cast<std::size_t>(*files);
  counts.devices = static_cast<std::size_t>(*devices);
  return counts;
}

Result<std::int64_t> SqliteStore::outside_version() const {
  return connection_.integer("PRAGMA data_version");
}

Result<std::int64_t> SqliteStore::chained_facts() const {
  return connection_.integer(
      "SELECT coalesce(sum((SELECT max(sequence) FROM facts WHERE device = d.row)), 0) FROM devices d");
}

Result<Uuid> SqliteStore::book_id() const {
  Result<SqliteStatement> statement = connection_.prepare("SELECT id FROM book");
  if (!statement) return statement.problem();
  const Result<Step> step = statement->step();
  if (!step) return step.problem();
  return *step == Step::row ? bytes_as<Uuid>(statement->bytes(0)) : Uuid{};
}

Result<Done> SqliteStore::check_container() const {
  // The quick form does not compare the indexes with the rows, and facts are found through indexes.
  Result<SqliteStatement> statement = connection_.prepare("PRAGMA integrity_check(1)");
  if (!statement) return statement.problem();
  const Result<Step> step = statement->step();
  if (!step) return step.problem();
  if (*step == Step::end || statement->bytes(0) == "ok") return Done{};
  return Problem{{place(), {}, 0, {}},
                 "a damaged book (" + std::string(statement->bytes(0)) + ")",
                 "a book that is whole",
                 "Work on with the last backup. Keep the damaged file: much of it may still be read."};
}

}  // namespace strandbook
