#include "edge/book/postgres_schema.hpp"

namespace strandbook {
namespace {

constexpr std::int64_t form = 2;

// Names of strands stand in the facts themselves: a table of names would let two writers wait for each other.
// A device's row is locked while its chain grows; `writes` counts its commits, so that others notice them.
constexpr const char* tables = R"sql(
CREATE TABLE strandbook_book (form bigint NOT NULL, id uuid NOT NULL DEFAULT gen_random_uuid());
CREATE TABLE devices (
  row bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  id uuid NOT NULL UNIQUE,
  writes bigint NOT NULL DEFAULT 0
);
CREATE TABLE files (sha256 bytea PRIMARY KEY CHECK (length(sha256) = 32), bytes bytea NOT NULL);
CREATE TABLE facts (
  id uuid PRIMARY KEY,
  device bigint NOT NULL REFERENCES devices (row),
  sequence bigint NOT NULL CHECK (sequence > 0),
  time_ms bigint NOT NULL,
  kind text NOT NULL,
  link text NOT NULL,
  strand text NOT NULL,
  target uuid,
  body text NOT NULL,
  previous bytea NOT NULL CHECK (length(previous) = 32),
  hash bytea NOT NULL CHECK (length(hash) = 32),
  UNIQUE (device, sequence)
);
CREATE INDEX facts_by_kind ON facts (kind, id) WHERE kind <> 'reading';
CREATE INDEX facts_by_subject ON facts (link, strand) WHERE link <> '' OR strand <> '';
CREATE INDEX facts_by_target ON facts (target) WHERE target IS NOT NULL;
CREATE TABLE heads (
  device bigint NOT NULL REFERENCES devices (row),
  sequence bigint NOT NULL CHECK (sequence > 0),
  hash bytea NOT NULL CHECK (length(hash) = 32),
  signature bytea NOT NULL,
  PRIMARY KEY (device, sequence)
);
CREATE FUNCTION nothing_is_changed() RETURNS trigger LANGUAGE plpgsql AS
  $$BEGIN RAISE EXCEPTION 'what is recorded is never changed or deleted: record a correction'; END$$;
CREATE TRIGGER facts_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON facts
  FOR EACH STATEMENT EXECUTE FUNCTION nothing_is_changed();
CREATE TRIGGER files_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON files
  FOR EACH STATEMENT EXECUTE FUNCTION nothing_is_changed();
CREATE TRIGGER heads_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON heads
  FOR EACH STATEMENT EXECUTE FUNCTION nothing_is_changed();
)sql";

// The first fact that each entry of a screen became: an index, worked out from the facts.
constexpr const char* form_2 = R"sql(
CREATE TABLE entries (entry text PRIMARY KEY, fact uuid NOT NULL);
INSERT INTO entries SELECT body::json ->> 'entry', id FROM facts
  WHERE position('"entry":"' in body) > 0 AND body::json ->> 'entry' IS NOT NULL
  ORDER BY id ON CONFLICT DO NOTHING;
)sql";

Result<bool> is_book(const PostgresConnection& connection) {
  const auto found = connection.run("SELECT to_regclass('strandbook_book') IS NOT NULL");
  if (!found) return found.problem();
  return found->bytes(0, 0) == std::string_view("\x01", 1);
}

/// Several programs may open an old book at once: the form is read again once no other can change it.
Result<Done> upgrade(const PostgresConnection& connection) {
  Result<PostgresTransaction> transaction = PostgresTransaction::begin(connection, "BEGIN");
  if (!transaction) return transaction.problem();
  Result<Done> locked = connection.command("LOCK TABLE strandbook_book IN ACCESS EXCLUSIVE MODE");
  if (!locked) return locked;
  const auto found = connection.run("SELECT max(form) FROM strandbook_book");
  if (!found) return found.problem();
  if (found->integer(0, 0) < form)
    for (const char* step : {form_2, "UPDATE strandbook_book SET form = 2"})
      if (Result<Done> done = connection.command(step); !done) return done;
  return transaction->commit();
}

}  // namespace

Result<Done> create_postgres_schema(const PostgresConnection& connection) {
  Result<PostgresTransaction> transaction = PostgresTransaction::begin(connection, "BEGIN");
  if (!transaction) return transaction.problem();
  const Result<bool> there = is_book(connection);
  if (!there) return there.problem();
  if (*there)
    return Problem{{connection.place(), {}, 0, {}},
                   "a book",
                   "a database that holds none yet",
                   "Open that book, or give another database or schema. Nothing was changed."};
  for (const char* step : {tables, form_2})
    if (Result<Done> made = connection.command(step); !made) return made;
  const auto marked = connection.run("INSERT INTO strandbook_book (form) VALUES ($1)", {pg(form)});
  if (!marked) return marked.problem();
  return transaction->commit();
}

Result<Done> check_postgres_schema(const PostgresConnection& connection) {
  const Result<bool> there = is_book(connection);
  if (!there) return there.problem();
  if (!*there)
    return Problem{{connection.place(), {}, 0, {}},
                   "a database without a book",
                   "a book made by strandbook",
                   "See that the address is right, or begin a book there."};
  const auto found = connection.run("SELECT max(form) FROM strandbook_book");
  if (!found) return found.problem();
  if (found->integer(0, 0) == form) return Done{};
  if (found->integer(0, 0) < form) return upgrade(connection);
  return Problem{{connection.place(), {}, 0, {}},
                 "a book made by a newer strandbook (form " + std::to_string(found->integer(0, 0)) + ")",
                 "form " + std::to_string(form) + " or older",
                 "Open it with that newer version. Nothing was changed."};
}

}  // namespace strandbook
