#pragma once
// The published application tables and what answers about them rest on.

#include <memory>
#include <string>

#include "domain/applications/connector_grade.hpp"
#include "domain/applications/job_carries.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// The tables made ready for channels; the rows stay with it.
class KnownApplications {
 public:
  KnownApplications(ApplicationTable rows, TestWindows windows, ConnectorGrades grades)
      : rows_(std::move(rows)),
        windows_(std::move(windows)),
        grades_(std::move(grades)),
        table_(rows_, windows_) {}
  KnownApplications(const KnownApplications&) = delete;
  KnownApplications& operator=(const KnownApplications&) = delete;
  const ApplicationTable& rows() const { return rows_; }
  const TestWindows& windows() const { return windows_; }
  const CarryTable& table() const { return table_; }
  /// The mean of the usual grade, C on single-mode and Bm on multimode.
  CleanConnections clean_connections() const;

 private:
  ApplicationTable rows_;
  TestWindows windows_;
  ConnectorGrades grades_;
  CarryTable table_;
};

/// rules/applications, rules/practice/test-windows.json and rules/connector-grades.
Result<std::shared_ptr<const KnownApplications>> know_applications();

/// Names that a person may mean: case, blanks, '-' and '_' aside, a name that is equal, else those that
/// contain it. A Problem that lists near names where none does.
Result<std::vector<std::string>> applications_named(const ApplicationTable& table, const std::string& asked);

}  // namespace strandbook
