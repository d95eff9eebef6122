#pragma once
// Tables of a book in SQLite, their version, and the steps from each version to the next.

#include "edge/book/sqlite_connection.hpp"

namespace strandbook {

/// "STBK": marks a SQLite file as a strandbook book (PRAGMA application_id).
inline constexpr std::int64_t book_application_id = 0x5354424b;
/// Version of the tables that this program writes (PRAGMA user_version).
inline constexpr std::int64_t book_schema_version = 3;

/// Makes the tables of an empty file.
Result<Done> create_schema(const SqliteConnection& connection);
/// Refuses what is no book or comes from a newer strandbook; brings an older book up to this version.
Result<Done> check_schema(const SqliteConnection& connection);

}  // namespace strandbook
