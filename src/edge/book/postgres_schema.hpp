#pragma once
// The tables of a book in PostgreSQL, in the schema that the connection works in.

#include "edge/book/postgres_connection.hpp"

namespace strandbook {

/// Refuses a place that holds a book already.
Result<Done> create_postgres_schema(const PostgresConnection& connection);
/// That a book of this form is there.
Result<Done> check_postgres_schema(const PostgresConnection& connection);

}  // namespace strandbook
