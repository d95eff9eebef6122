#include "edge/book/postgres_store.hpp"

#include <algorithm>
#include <exception>

#include "edge/book/postgres_schema.hpp"

namespace strandbook {
namespace {

constexpr const char* rows_at_a_time = "5000";

template <class T>
T read_bytes(std::string_view blob) {
  T value;
  std::copy_n(blob.begin(), std::min(blob.size(), value.bytes.size()), value.bytes.begin());
  return value;
}

struct Question {
  std::string sql;
  std::vector<PostgresValue> values;
  const char* where(const std::string& condition, PostgresValue value) {
    values.push_back(std::move(value));
    sql += " AND " + condition + std::to_string(values.size());
    return sql.c_str();
  }
};

Question question_of(const FactQuery& query) {
  Question question{
      "SELECT f.id, d.id, f.sequence, f.time_ms, f.kind, f.link, f.strand, f.target, f.body, f.previous, "
      "f.hash "
      "FROM facts f JOIN devices d ON d.row = f.device WHERE TRUE",
      {}};
  if (query.kind) question.where("f.kind = $", pg(text_of(*query.kind)));
  if (query.kind && *query.kind != FactKind::reading) question.sql += " AND f.kind <> 'reading'";
  if (query.id) (question.where("f.id = $", pg(text_of(*query.id))), question.sql += "::uuid");
  if (query.target) (question.where("f.target = $", pg(text_of(*query.target))), question.sql += "::uuid");
  if (query.subject) {
    question.where("f.link = $", pg(query.subject->link));
    question.where("f.strand = $", pg(query.subject->strand));
    question.sql += " AND (f.link <> '' OR f.strand <> '')";
  }
  if (query.before) (question.where("f.id < $", pg(text_of(*query.before))), question.sql += "::uuid");
  if (query.after) (question.where("f.id > $", pg(text_of(*query.after))), question.sql += "::uuid");
  question.sql += query.order == FactOrder::chain ? " ORDER BY d.id, f.sequence" : " ORDER BY f.id";
  if (query.order == FactOrder::latest) question.sql += " DESC";
  if (query.most) question.sql += " LIMIT " + std::to_string(*query.most);
  return question;
}

Result<Done> fill(Fact& fact, const PostgresRows& rows, int row, const std::string& place) {
  const std::optional<FactKind> kind = parse_fact_kind(rows.bytes(row, 4));
  if (!kind)
    return Problem{{place, {}, 0, {}},
                   "a fact of the unknown kind \"" + std::string(rows.bytes(row, 4)) + "\"",
                   "kinds of fact that this version knows",
                   "The book was made by a newer strandbook, or is damaged."};
  fact.id = read_bytes<Uuid>(rows.bytes(row, 0));
  fact.device = read_bytes<Uuid>(rows.bytes(row, 1));
  fact.sequence = rows.integer(row, 2);
  fact.time_ms = rows.integer(row, 3);
  fact.kind = *kind;
  fact.subject.link = rows.bytes(row, 5);
  fact.subject.strand = rows.bytes(row, 6);
  fact.target.reset();
  if (!rows.is_null(row, 7)) fact.target = read_bytes<Uuid>(rows.bytes(row, 7));
  fact.body = rows.bytes(row, 8);
  fact.previous = read_bytes<Sha256>(rows.bytes(row, 9));
  fact.hash = read_bytes<Sha256>(rows.bytes(row, 10));
  return Done{};
}

}  // namespace

Result<std::unique_ptr<PostgresStore>> PostgresStore::create(const std::string& address,
                                                             Surroundings surroundings) {
  Result<PostgresConnection> connection = PostgresConnection::open(address);
  if (!connection) return connection.problem();
  if (const Result<Done> made = create_postgres_schema(*connection); !made) return made.problem();
  return std::unique_ptr<PostgresStore>(new PostgresStore(std::move(*connection), std::move(surroundings)));
}

Result<std::unique_ptr<PostgresStore>> PostgresStore::open(const std::string& address,
                                                           Surroundings surroundings) {
  Result<PostgresConnection> connection = PostgresConnection::open(address);
  if (!connection) return connection.problem();
  if (const Result<Done> checked = check_postgres_schema(*connection); !checked) return checked.problem();
  return std::unique_ptr<PostgresStore>(new PostgresStore(std::move(*connection), std::move(surroundings)));
}

Result<Done> PostgresStore::write(const std::function<Result<Done>(StoreWriter&)>& work) {
  Result<PostgresTransaction> transaction = PostgresTransaction::begin(connection_, "BEGIN");
  if (!transaction) return transaction.problem();
  PostgresWriter writer(connection_);
  writer_ = &writer;
  Result<Done> done = Done{};
  try {
    done = work(writer);
  } catch (const std::exception& error) {
    done = Problem{{place(), {}, 0, {}}, error.what(), "enough memory", "Nothing was half-written."};
  }
  writer_ = nullptr;
  if (!done) return done;
  if (Result<Done> finished = writer.finish(); !finished) return finished;
  if (Result<Done> committed = transaction->commit(); !committed) return committed;
  own_writes_ += static_cast<std::int64_t>(writer.devices_written());
  return Done{};
}

Result<Done> PostgresStore::at_one_moment(const std::function<Result<Done>()>& work) const {
  if (writer_ != nullptr)
    if (Result<Done> sent = writer_->flush(); !sent) return sent;
  if (writer_ != nullptr || cursors_ > 0) return work();
  const Result<PostgresTransaction> moment =
      PostgresTransaction::begin(connection_, "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY");
  if (!moment) return moment.problem();
  return work();
}

Result<Done> PostgresStore::each_row(
    const std::string& sql, const std::vector<PostgresValue>& values,
    const std::function<Result<Done>(const PostgresRows&, int)>& visit) const {
  return at_one_moment([&]() -> Result<Done> {
    const std::string name = "c" + std::to_string(cursors_++);
    const auto fetch = [&]() -> Result<Done> {
      const auto begun = connection_.run(("DECLARE " + name + " BINARY CURSOR FOR " + sql).c_str(), values);
      if (!begun) return begun.problem();
      const std::string next = std::string("FETCH ") + rows_at_a_time + " FROM " + name;
      for (;;) {
        const auto rows = connection_.run(next.c_str());
        if (!rows) return rows.problem();
        if (rows->count() == 0) return connection_.command("CLOSE " + name);
        for (int row = 0; row < rows->count(); ++row)
          if (Result<Done> visited = visit(*rows, row); !visited) return visited;
      }
    };
    Result<Done> done = fetch();
    --cursors_;
    return done;
  });
}

Result<Done> PostgresStore::read_one(const FactQuery& query, const FactVisitor& visit) const {
  const Question question = question_of(query);
  Fact fact;
  return each_row(question.sql, question.values, [&](const PostgresRows& rows, int row) -> Result<Done> {
    const Result<Done> filled = fill(fact, rows, row, place());
    return filled ? visit(fact) : filled;
  });
}

Result<Done> PostgresStore::read(std::span<const FactQuery> queries, const FactVisitor& visit) const {
  return at_one_moment([&]() -> Result<Done> {
    ++cursors_;  // those of the queries stand inside this moment
    Result<Done> done = Done{};
    for (const FactQuery& query : queries)
      if (done) done = read_one(query, visit);
    --cursors_;
    return done;
  });
}

Result<std::vector<Subject>> PostgresStore::subjects() const {
  std::vector<Subject> all;
  Result<Done> done = each_row(
      "SELECT link, strand FROM facts WHERE link <> '' OR strand <> '' GROUP BY link, strand ORDER BY "
      "min(id::text)",
      {}, [&](const PostgresRows& rows, int row) -> Result<Done> {
        all.push_back({std::string(rows.bytes(row, 0)), std::string(rows.bytes(row, 1))});
        return Done{};
      });
  if (!done) return done.problem();
  return all;
}

Result<Done> PostgresStore::read_heads(const std::optional<Uuid>& device, const HeadVisitor& visit) const {
  std::string sql =
      "SELECT d.id, h.sequence, h.hash, h.signature FROM heads h JOIN devices d ON d.row = h.device ";
  std::vector<PostgresValue> values;
  if (device) {
    sql += "WHERE d.id = $1::uuid ";
    values.push_back(pg(text_of(*device)));
  }
  return each_row(sql + "ORDER BY d.id, h.sequence", values, [&](const PostgresRows& rows, int row) {
    return visit({read_bytes<Uuid>(rows.bytes(row, 0)), rows.integer(row, 1),
                  read_bytes<Sha256>(rows.bytes(row, 2)), std::string(rows.bytes(row, 3))});
  });
}

Result<std::optional<std::string>> PostgresStore::file(const Sha256& name) const {
  if (const Result<Done> alive = connection_.revive(); !alive) return alive.problem();
  const auto rows = connection_.run("SELECT bytes FROM files WHERE sha256 = $1", {pg_bytes(name.bytes)});
  if (!rows) return rows.problem();
  if (rows->count() == 0) return std::optional<std::string>{};
  return std::optional<std::string>{std::string(rows->bytes(0, 0))};
}

Result<Done> PostgresStore::read_files(const FileVisitor& visit) const {
  std::vector<Sha256> names;
  Result<Done> listed = each_row("SELECT sha256 FROM files ORDER BY sha256", {},
                                 [&](const PostgresRows& rows, int row) -> Result<Done> {
                                   names.push_back(read_bytes<Sha256>(rows.bytes(row, 0)));
                                   return Done{};
                                 });
  if (!listed) return listed;
  for (const Sha256& name : names) {
    const Result<std::optional<std::string>> bytes = file(name);
    if (!bytes) return bytes.problem();
    if (Result<Done> visited = visit(name, bytes->value_or("")); !visited) return visited;
  }
  return Done{};
}

Result<StoreCounts> PostgresStore::counts() const {
  StoreCounts counts;
  Result<Done> done = each_row(
      "SELECT kind, count(*) FROM facts GROUP BY kind UNION ALL SELECT 'the files', count(*) FROM files "
      "UNION ALL SELECT 'the devices', count(*) FROM devices",
      {}, [&](const PostgresRows& rows, int row) -> Result<Done> {
        const auto number = static_cast<std::size_t>(rows.integer(row, 1));
        if (rows.bytes(row, 0) == "the files") counts.files = number;
        if (rows.bytes(row, 0) == "the devices") counts.devices = number;
        if (const auto kind = parse_fact_kind(rows.bytes(row, 0))) {
          counts.by_kind[static_cast<std::size_t>(*kind)] = number;
          counts.facts += number;
        }
        return Done{};
      });
  if (!done) return done.problem();
  return counts;
}

/// The server keeps its own pages; a question that touches every row makes it say where one cannot be read.
Result<Done> PostgresStore::check_container() const {
  return each_row("SELECT count(body) FROM facts", {},
                  [](const PostgresRows&, int) -> Result<Done> { return Done{}; });
}

Result<std::int64_t> PostgresStore::outside_version() const {
  if (const Result<Done> alive = connection_.revive(); !alive) return alive.problem();
  const auto rows = connection_.run("SELECT coalesce(sum(writes), 0)::bigint FROM devices");
  if (!rows) return rows.problem();
  return rows->integer(0, 0) - own_writes_;
}

Result<std::int64_t> PostgresStore::chained_facts() const {
  if (const Result<Done> alive = connection_.revive(); !alive) return alive.problem();
  const auto rows = connection_.run(
      "SELECT coalesce(sum((SELECT max(sequence) FROM facts WHERE device = d.row)), 0)::bigint FROM devices "
      "d");
  if (!rows) return rows.problem();
  return rows->integer(0, 0);
}

Result<Uuid> PostgresStore::book_id() const {
  if (const Result<Done> alive = connection_.revive(); !alive) return alive.problem();
  const auto rows = connection_.run("SELECT id FROM strandbook_book");
  if (!rows) return rows.problem();
  return read_bytes<Uuid>(rows->bytes(0, 0));
}

}  // namespace strandbook
