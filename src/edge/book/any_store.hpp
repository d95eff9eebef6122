#pragma once
// A book wherever it is: a file, or a database's address.

#include <memory>
#include <string>

#include "edge/book/store.hpp"

namespace strandbook {

/// True for an address such as postgresql://host/database.
bool is_postgres_address(std::string_view place);

/// `place`: a path, or an address such as postgresql://host/database.
Result<std::unique_ptr<Store>> create_store(const std::string& place, const Surroundings& surroundings);
Result<std::unique_ptr<Store>> open_store(const std::string& place, const Surroundings& surroundings);

}  // namespace strandbook
