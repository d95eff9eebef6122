#include "edge/book/sqlite_schema.hpp"

#include <array>

namespace strandbook {
namespace {

// Nearly all facts of a large book are readings; no question asks for all of them by kind, so their kind is
// not indexed. REPLACE deletes without firing delete triggers, hence the triggers before an insert.
constexpr const char* version_1 = R"sql(
CREATE TABLE devices (
  row INTEGER PRIMARY KEY,
  id BLOB NOT NULL UNIQUE CHECK (length(id) = 16)
) STRICT;
CREATE TABLE subjects (
  row INTEGER PRIMARY KEY,
  link TEXT NOT NULL,
  strand TEXT NOT NULL,
  UNIQUE (link, strand)
) STRICT;
CREATE TABLE files (
  row INTEGER PRIMARY KEY,
  sha256 BLOB NOT NULL UNIQUE CHECK (length(sha256) = 32),
  bytes BLOB NOT NULL
) STRICT;
CREATE TABLE facts (
  row INTEGER PRIMARY KEY,
  id BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
  device INTEGER NOT NULL REFERENCES devices (row),
  sequence INTEGER NOT NULL CHECK (sequence > 0),
  time_ms INTEGER NOT NULL,
  kind TEXT NOT NULL,
  subject INTEGER REFERENCES subjects (row),
  target BLOB CHECK (length(target) = 16),
  body TEXT NOT NULL,
  previous BLOB NOT NULL CHECK (length(previous) = 32),
  hash BLOB NOT NULL CHECK (length(hash) = 32),
  UNIQUE (device, sequence)
) STRICT;
CREATE INDEX facts_by_kind ON facts (kind) WHERE kind <> 'reading';
CREATE INDEX facts_by_subject ON facts (subject) WHERE subject IS NOT NULL;
CREATE INDEX facts_by_target ON facts (target) WHERE target IS NOT NULL;

CREATE TRIGGER facts_stay BEFORE UPDATE ON facts
  BEGIN SELECT RAISE(ABORT, 'facts are never changed: record a correction'); END;
CREATE TRIGGER facts_are_kept BEFORE DELETE ON facts
  BEGIN SELECT RAISE(ABORT, 'facts are never deleted: record a correction'); END;
CREATE TRIGGER facts_are_not_replaced BEFORE INSERT ON facts
  WHEN EXISTS (SELECT 1 FROM facts WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM facts WHERE row = NEW.row)
    OR EXISTS (SELECT 1 FROM facts WHERE device = NEW.device AND sequence = NEW.sequence)
  BEGIN SELECT RAISE(ABORT, 'facts are never replaced: record a correction'); END;
CREATE TRIGGER files_stay BEFORE UPDATE ON files
  BEGIN SELECT RAISE(ABORT, 'kept files are never changed'); END;
CREATE TRIGGER files_are_kept BEFORE DELETE ON files
  BEGIN SELECT RAISE(ABORT, 'kept files are never deleted'); END;
CREATE TRIGGER files_are_not_replaced BEFORE INSERT ON files
  WHEN EXISTS (SELECT 1 FROM files WHERE sha256 = NEW.sha256 OR row = NEW.row)
  BEGIN SELECT RAISE(ABORT, 'kept files are never replaced'); END;
CREATE TRIGGER devices_stay BEFORE UPDATE ON devices
  BEGIN SELECT RAISE(ABORT, 'devices are never changed'); END;
CREATE TRIGGER devices_are_kept BEFORE DELETE ON devices
  BEGIN SELECT RAISE(ABORT, 'devices are never deleted'); END;
CREATE TRIGGER subjects_stay BEFORE UPDATE ON subjects
  BEGIN SELECT RAISE(ABORT, 'strand names are never changed'); END;
CREATE TRIGGER subjects_are_kept BEFORE DELETE ON subjects
  BEGIN SELECT RAISE(ABORT, 'strand names are never deleted'); END;
)sql";

constexpr const char* version_2 = R"sql(
CREATE TABLE heads (
  row INTEGER PRIMARY KEY,
  device INTEGER NOT NULL REFERENCES devices (row),
  sequence INTEGER NOT NULL CHECK (sequence > 0),
  hash BLOB NOT NULL CHECK (length(hash) = 32),
  signature BLOB NOT NULL,
  UNIQUE (device, sequence)
) STRICT;
CREATE TABLE book (id BLOB NOT NULL CHECK (length(id) = 16)) STRICT;
INSERT INTO book VALUES (randomblob(16));
CREATE TRIGGER heads_stay BEFORE UPDATE ON heads
  BEGIN SELECT RAISE(ABORT, 'signatures are never changed'); END;
CREATE TRIGGER heads_are_kept BEFORE DELETE ON heads
  BEGIN SELECT RAISE(ABORT, 'signatures are never deleted'); END;
)sql";

// The first fact that each entry of a screen became: an index, worked out from the facts.
constexpr const char* version_3 = R"sql(
CREATE TABLE entries (
  entry TEXT PRIMARY KEY,
  fact BLOB NOT NULL CHECK (length(fact) = 16)
) STRICT, WITHOUT ROWID;
INSERT INTO entries SELECT json_extract(body, '$.entry'), id FROM facts
  WHERE instr(body, '"entry":"') > 0 AND json_extract(body, '$.entry') IS NOT NULL
  ORDER BY id ON CONFLICT DO NOTHING;
)sql";

/// Step i leads from version i to version i + 1.
constexpr std::array<const char*, book_schema_version> steps = {version_1, version_2, version_3};

Result<Done> migrate(const SqliteConnection& connection, std::int64_t from) {
  for (std::int64_t version = from; version < book_schema_version; ++version) {
    const Result<Done> done = connection.run(steps[static_cast<std::size_t>(version)]);
    if (!done) return done.problem();
  }
  return connection.run("PRAGMA user_version = " + std::to_string(book_schema_version));
}

/// Two programs may open an old book at once: the version is read again once no other can write.
Result<Done> upgrade(const SqliteConnection& connection) {
  Result<SqliteTransaction> transaction =
      SqliteTransaction::begin(connection, SqliteTransaction::Kind::write);
  if (!transaction) return transaction.problem();
  const Result<std::int64_t> version = connection.integer("PRAGMA user_version");
  if (!version) return version.problem();
  const Result<Done> done = migrate(connection, *version);
  if (!done) return done.problem();
  return transaction->commit();
}

Problem foreign(const std::string& path) {
  return {{path, {}, 0, {}},
          "a file that is not a strandbook book",
          "a book made by strandbook",
          "See that this is the file you mean."};
}

Problem newer(const std::string& path, std::int64_t version) {
  return {{path, {}, 0, {}},
          "a book made by a newer strandbook (form " + std::to_string(version) + ")",
          "form " + std::to_string(book_schema_version) + " or older",
          "Open it with that newer version. Nothing was changed."};
}

}  // namespace

Result<Done> create_schema(const SqliteConnection& connection) {
  Result<SqliteTransaction> transaction =
      SqliteTransaction::begin(connection, SqliteTransaction::Kind::write);
  if (!transaction) return transaction.problem();
  const Result<Done> marked =
      connection.run("PRAGMA application_id = " + std::to_string(book_application_id));
  if (!marked) return marked.problem();
  const Result<Done> done = migrate(connection, 0);
  if (!done) return done.problem();
  return transaction->commit();
}

Result<Done> check_schema(const SqliteConnection& connection) {
  const Result<std::int64_t> application = connection.integer("PRAGMA application_id");
  if (!application) return application.problem();
  if (*application != book_application_id) return foreign(connection.path());
  const Result<std::int64_t> version = connection.integer("PRAGMA user_version");
  if (!version) return version.problem();
  if (*version > book_schema_version) return newer(connection.path(), *version);
  if (*version < 1) return foreign(connection.path());
  return *version == book_schema_version ? Result<Done>{Done{}} : upgrade(connection);
}

}  // namespace strandbook
