#pragma once
// Lists of a package that a spreadsheet opens: who recorded what, findings, pre-flight, statements,
// originals.

#include <map>
#include <string>

#include "workflow/check_handover.hpp"

namespace strandbook {

/// A file of the book as it lies in the package.
struct PackedFile {
  std::string path;
  Sha256 hash;
  ImportRecord import;
  std::int64_t time_ms = 0;
};

/// Every fact, the latest first: corrections and repeats with what they stand for.
Result<Done> write_facts_csv(const Store& store, const std::string& path);
Result<Done> write_findings_csv(const HandoverGround& ground, const std::string& path);
Result<Done> write_preflight_csv(const HandoverGround& ground, const std::vector<PreflightItem>& items,
                                 const std::string& path);
Result<Done> write_statements_csv(const HandoverGround& ground, const std::string& path);
Result<Done> write_originals_csv(const std::vector<PackedFile>& files, const std::string& path);

}  // namespace strandbook
