#pragma once
// The published application tables and what answers about them rest on.

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "domain/applications/connector_grade.hpp"
#include "domain/applications/job_carries.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// The tables made ready for channels; the rows stay with it.
class KnownApplications {
 public:
  KnownApplications(ApplicationTable rows, const TestWindows& windows, const AttenuationShape& shape,
                    ConnectorGrades grades)
      : rows_(std::move(rows)), grades_(std::move(grades)), table_(rows_, windows, shape) {}
  KnownApplications(const KnownApplications&) = delete;
  KnownApplications& operator=(const KnownApplications&) = delete;
  const ApplicationTable& rows() const { return rows_; }
  const CarryTable& table() const { return table_; }
  /// The mean of the usual grade, C on single-mode and Bm on multimode.
  CleanConnections clean_connections() const;
  CarryGround ground(const Assessment& assessment, const StrandLosses& losses) const {
    return {assessment, losses, rows_, clean_connections()};
  }

 private:
  ApplicationTable rows_;
  ConnectorGrades grades_;
  CarryTable table_;
};

/// rules/applications, and of the rest of rules/ the test windows, the connector grades and the link model's
/// attenuation.
Result<std::shared_ptr<const KnownApplications>> know_applications();

/// The first row of this name, of the fibre where one is stated; null where there is none.
const Application* row_over(const ApplicationTable& table, std::string_view name,
                            std::optional<FibreCategory> fibre);

/// Names that a person may mean: case, blanks, '-' and '_' aside, a name that is equal, else those that
/// contain it. A Problem that lists near names where none does.
Result<std::vector<std::string>> applications_named(const ApplicationTable& table, const std::string& asked);

}  // namespace strandbook
