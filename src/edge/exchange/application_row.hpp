#pragma once
// One row of an application file, checked for sense as well as for form.

#include <cstddef>

#include "domain/applications/application.hpp"
#include "edge/exchange/rule_reader.hpp"

namespace strandbook {

/// What the file says once for all its rows; document and edition stand on the desk.
struct ApplicationHead {
  std::string table;
  ApplicationFamily family = ApplicationFamily::ethernet;
};

std::optional<ApplicationFamily> read_family(const JsonNode& node, RuleDesk& desk);

/// What is wrong is told at the desk; the row is then not to be used.
Application read_application_row(const JsonNode& node, const ApplicationHead& head, RuleDesk& desk);

/// "10GBASE-SR over OM3 of IEEE 802.3": what may be in the tables once.
std::string identity_of(const Application& row);

}  // namespace strandbook
