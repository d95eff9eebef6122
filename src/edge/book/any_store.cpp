#include "edge/book/any_store.hpp"

#include "edge/book/postgres_store.hpp"
#include "edge/book/sqlite_store.hpp"

namespace strandbook {
namespace {

template <class T>
Result<std::unique_ptr<Store>> as_store(Result<std::unique_ptr<T>> store) {
  if (!store) return store.problem();
  return std::unique_ptr<Store>(std::move(*store));
}

}  // namespace

bool is_postgres_address(std::string_view place) {
  return place.starts_with("postgresql://") || place.starts_with("postgres://");
}

Result<std::unique_ptr<Store>> create_store(const std::string& place, const Surroundings& surroundings) {
  if (is_postgres_address(place)) return as_store(PostgresStore::create(place, surroundings));
  return as_store(SqliteStore::create(place, {surroundings}));
}

Result<std::unique_ptr<Store>> open_store(const std::string& place, const Surroundings& surroundings) {
  if (is_postgres_address(place)) return as_store(PostgresStore::open(place, surroundings));
  return as_store(SqliteStore::open(place, {surroundings}));
}

}  // namespace strandbook
