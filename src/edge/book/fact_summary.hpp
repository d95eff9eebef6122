#pragma once
// One line that tells a person what a fact says.

#include <string>

#include "edge/book/fact.hpp"
#include "edge/book/fact_fields.hpp"

namespace strandbook {

/// `file`: name of the file that the row came with; may be empty.
std::string summary_of(FactKind kind, const FactFields& fields, const std::string& file);

}  // namespace strandbook
